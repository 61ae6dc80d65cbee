/**
 * Stops the work when a fact that must hold does not: a bug, never an answer to a person.
 * Throws an `Error` whose message is the fact.
 */
export function assert(condition: unknown, fact: string): asserts condition {
  if (!condition) throw new Error(`Invariant broken: ${fact}`);
}
