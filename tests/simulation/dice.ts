// Chance from one seed, so that a simulation can be played again.

export interface Dice {
  /** A number from 0 up to, not including, 1. */
  readonly roll: () => number;
  /** A whole number from `min` to `max`, both included. */
  readonly between: (min: number, max: number) => number;
  /** Whether something that happens so often (0 to 1) happens now. */
  readonly happens: (chance: number) => boolean;
  /** One of these; throws when there are none. */
  readonly oneOf: <T>(those: readonly T[]) => T;
}

/** Source of the generator: "mulberry32" by Tommy Ettinger, public domain; from memory. */
export function throwDice(seed: number): Dice {
  let state = seed >>> 0;
  const roll = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  const between = (min: number, max: number) => min + Math.floor(roll() * (max - min + 1));
  const oneOf = <T>(those: readonly T[]): T => {
    const one = those[between(0, those.length - 1)];
    if (one === undefined) throw new Error('nothing to choose from');
    return one;
  };
  return { roll, between, happens: (chance) => roll() < chance, oneOf };
}
