// How each compartment of a vehicle is answered for in a count.
import type { CountFacts, CountGround } from './count-ground.ts';
import type { CountedUp } from './count-lines.ts';
import type { CompartmentAnswer, CountLine } from './count-shape.ts';
import type { PlaceId } from './ids.ts';
import type { Check, MovementOf, Recorded } from './movement.ts';
import { CHECKS, checkSchema } from './movement.ts';
import type { Place } from './place.ts';
import { compareText } from './urgency.ts';

export type Answered = Recorded<MovementOf<'answer'>>;

/** The latest living answer of each compartment since the count was opened. */
export function answersOf(facts: CountFacts, ground: CountGround): ReadonlyMap<PlaceId, Answered> {
  const answers = new Map<PlaceId, Answered>();
  for (const line of ground.linesSinceOpening) {
    if (line.kind !== 'answer') continue;
    if (line.stopId === facts.stop.id && line.round === facts.round) answers.set(line.toId, line);
  }
  return answers;
}

/**
 * Lets a compartment that was "not opened" answer, as the weakest check, for those of its lines that nobody has
 * spoken of and that did not go out today. What went out stays open: it could be anywhere.
 */
export function withNotOpened(
  ups: readonly CountedUp[],
  answers: ReadonlyMap<PlaceId, Answered>,
): readonly CountedUp[] {
  return ups.map((up) => {
    const answer = answers.get(up.line.compartmentId);
    if (answer?.check !== 'not-opened' || up.line.state !== 'open' || up.line.wentOut || up.line.absent > 0)
      return up;
    const { id, at, personId, deviceId, note } = answer;
    const said = { said: answer.check, lineId: id, at, personId, deviceId, note };
    const found = up.line.kind === 'item' ? 1 : up.line.found;
    return { ...up, line: { ...up.line, state: 'aboard', found, said } };
  });
}

/**
 * The compartments of the vehicle as the working day began, in their own order, the vehicle itself last and only
 * when something lay in it. Each has its own answer, else that of its lines once all have one, else none: it waits.
 */
export function compartmentsOf(
  facts: CountFacts,
  ground: CountGround,
  lines: readonly CountLine[],
  answers: ReadonlyMap<PlaceId, Answered>,
): readonly CompartmentAnswer[] {
  const inside = byCompartment(lines);
  const ids = new Set([...listedOf(facts, ground).map((place) => place.id), ...inside.keys()]);
  return [...ids].map((placeId) => {
    const own = inside.get(placeId) ?? [];
    return {
      placeId,
      name: facts.places.get(placeId)?.name ?? '',
      answer: answers.get(placeId)?.check ?? answerOfLines(own),
      lines: own.length,
      open: own.filter(isOpen).length,
    };
  });
}

function byCompartment(lines: readonly CountLine[]): ReadonlyMap<PlaceId, readonly CountLine[]> {
  const inside = new Map<PlaceId, CountLine[]>();
  for (const line of lines) {
    const known = inside.get(line.compartmentId);
    if (known === undefined) inside.set(line.compartmentId, [line]);
    else known.push(line);
  }
  return inside;
}

/** Whether nobody has answered for a line, or not for all of it. */
export function isOpen(line: CountLine): boolean {
  return line.state === 'open' || line.state === 'short';
}

function listedOf(facts: CountFacts, ground: CountGround): readonly Place[] {
  const listed = [...facts.places.values()].filter((place) => {
    if (place.kind !== 'compartment' || !ground.began.holds(place.id, ground.vehicleId)) return false;
    const chain = ground.began.of(place.id);
    const inside = chain.slice(0, chain.indexOf(ground.vehicleId));
    return inside.every((id) => facts.places.get(id)?.kind !== 'container');
  });
  return listed.sort((a, b) => a.sort - b.sort || compareText(a.name, b.name) || compareText(a.id, b.id));
}

// A line that was said to be absent or away was spoken of one by one, which is what "seen" means for a compartment.
function answerOfLines(lines: readonly CountLine[]): Check | null {
  if (lines.length === 0 || lines.some(isOpen)) return null;
  const ranks = lines.map((line) => {
    const check = checkSchema.safeParse(line.said?.said);
    return CHECKS.indexOf(line.state === 'aboard' && check.success ? check.data : 'seen');
  });
  return CHECKS[Math.max(...ranks)] ?? null;
}
