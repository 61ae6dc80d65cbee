// What must be true after an evening, whatever happened in it, said with the plain model and not with the domain.
import { chainOf } from '#domain/chain.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { type Standing, standingOf } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import { bookOf, FIXED, MOVING, place, thing, WORLD } from '../domain/making.ts';
import { modelNumber, modelOutwards, modelPositionLine } from '../domain/model.ts';
import { MEASURE_MS_MAX } from './phone.ts';
import type { Evening } from './simulate.ts';

const PLACES = [...FIXED.map(({ id }) => id), ...MOVING.map(place)];

/** Every broken law as a sentence; none when all hold. */
export function faultsOf(evening: Evening): readonly string[] {
  return [...lost(evening), ...disordered(evening), ...mistimed(evening), ...disagreeing(evening)];
}

/** Laws 1, 2 and 11: what a phone wrote is kept once, nothing waits any more, and all phones hold all of it. */
function lost({ phones, service }: Evening): string[] {
  const faults: string[] = [];
  const ids = service.ledger.map(({ id }) => id);
  if (new Set(ids).size !== ids.length) faults.push('a line is kept twice');
  if (service.waiting.size > 0) faults.push(`${service.waiting.size} lines still wait`);
  const written = phones.flatMap((phone) => [...phone.trueTimes.keys()]);
  if (written.length !== ids.length) faults.push(`${written.length} lines written, ${ids.length} kept`);
  const kept = new Map(service.ledger.map((line) => [line.id, line]));
  for (const phone of phones) {
    if (phone.outbox().length > 0) faults.push(`${phone.name} still holds ${phone.outbox().length} lines`);
    if (phone.lines().length !== ids.length) faults.push(`${phone.name} has ${phone.lines().length} lines`);
    const other = phone.lines().filter((line) => kept.get(line.id)?.at !== line.at);
    if (other.length > 0) faults.push(`${phone.name} has another time for ${other.length} lines`);
  }
  return faults;
}

/** Law 4: the times of one phone never contradict the order in which it wrote. */
function disordered({ phones, service }: Evening): string[] {
  return phones.flatMap((phone) => {
    const own = service.ledger.filter((line) => phone.trueTimes.has(line.id));
    const byNumber = [...own].sort((a, b) => a.deviceNo - b.deviceNo);
    const wrong = byNumber.filter((line, index) => line.at <= (byNumber[index - 1]?.at ?? -1));
    return wrong.length === 0 ? [] : [`${phone.name} wrote ${wrong.length} lines in another order`];
  });
}

/** Law 4: a certain time of a run that was measured is off by no more than half the way there and back. */
function mistimed({ phones, service }: Evening): string[] {
  return phones.flatMap((phone) => {
    const wrong = service.ledger.filter((line) => {
      const wroteAt = phone.trueTimes.get(line.id);
      const run = service.runs.get(line.clockRun);
      if (wroteAt === undefined || run?.measured !== true || line.timeUncertain) return false;
      return Math.abs(line.at - wroteAt) > MEASURE_MS_MAX / 2;
    });
    return wrong.length === 0 ? [] : [`${phone.name} has ${wrong.length} certain times that are wrong`];
  });
}

/** Laws 5, 6 and 7: every phone and the service say what the plain model says of the same lines. */
function disagreeing({ phones, service }: Evening): string[] {
  const { ledger } = service;
  const standings = [
    { name: 'the service', standing: standingOf(bookOf(ledger)) },
    ...phones.map((phone) => ({ name: phone.name, standing: phone.standing() })),
  ];
  return standings.flatMap(({ name, standing }) =>
    [
      ...['lamp', 'lens', ...MOVING].map(thing).flatMap((id) => wrongPosition(id, standing, ledger)),
      ...['cables', 'clamps']
        .map(thing)
        .flatMap((id) => PLACES.flatMap((at) => wrongNumber(id, at, standing, ledger))),
      ...wrongChains(standing),
    ].map((fault) => `${name}: ${fault}`),
  );
}

function wrongPosition(id: ThingId, standing: Standing, ledger: readonly Recorded[]): string[] {
  const expected = modelPositionLine(id, ledger)?.id;
  return standing.positions.get(id)?.movementId === expected
    ? []
    : [`${id} is not where line ${expected} says`];
}

function wrongNumber(id: ThingId, at: PlaceId, standing: Standing, ledger: readonly Recorded[]): string[] {
  const expected = modelNumber(id, at, ledger);
  return (standing.levels.get(id)?.get(at) ?? 0) === expected ? [] : [`not ${expected} of ${id} at ${at}`];
}

function wrongChains(standing: Standing): string[] {
  const outwards = modelOutwards(WORLD, standing.history, () => 0);
  return PLACES.filter((id) => {
    const chain = chainOf(id, { places: WORLD, history: standing.history });
    return chain.some((one, index) => (outwards.get(one) ?? null) !== (chain[index + 1] ?? null));
  }).map((id) => `the chain of ${id} is another`);
}
