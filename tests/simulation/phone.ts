// A phone: a clock that is wrong, a ledger of what it wrote and what it was told, an outbox that keeps a line until
// the service has answered for it.
import { type Atlas, wouldLoop } from '#domain/chain.ts';
import { type Standing, standingOf, withLine } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import { bookOf, clockRun, device, lineId, makeVoid, WORLD } from '../domain/making.ts';
import type { Reply, Request } from './service.ts';

export interface Phone {
  readonly name: string;
  /** Writes down what a line says, with its own stamp; null when the phone refuses it because it would close a loop. */
  readonly write: (said: Recorded, now: number) => Recorded | null;
  readonly undo: (line: Recorded, now: number) => Recorded;
  /** The battery died, or somebody set the clock: a new run, and the clock stands differently by so much. */
  readonly restart: (clockMovesMs: number) => void;
  readonly request: (lines: readonly Recorded[]) => Request;
  readonly hear: (reply: Reply, sentAt: number, now: number) => void;
  readonly outbox: () => readonly Recorded[];
  readonly lines: () => readonly Recorded[];
  readonly standing: () => Standing;
  /** When each of its own lines was really written. */
  readonly trueTimes: ReadonlyMap<string, number>;
}

/** A phone believes a measure of its clock only if the answer came back as fast as this. */
export const MEASURE_MS_MAX = 4_000;

export function switchOnPhone(name: string, clockErrorMs: number): Phone {
  const known = new Map<string, Recorded>();
  const outbox = new Set<string>();
  const measured = new Map<string, number>();
  const trueTimes = new Map<string, number>();
  let clock = { errorMs: clockErrorMs, run: 1, lastAt: 0 };
  let [deviceNo, cursor] = [0, 0];
  let standing = standingOf(bookOf([]));
  const runId = () => clockRun(`${name} ${clock.run}`);

  function stamp(now: number) {
    deviceNo += 1;
    // A phone writes no two lines of one run in the same millisecond.
    const deviceAt = Math.max(now + clock.errorMs, clock.lastAt + 1);
    clock = { ...clock, lastAt: deviceAt };
    const id = lineId(`${name} ${deviceNo}`, deviceAt);
    const at = deviceAt + (measured.get(`${name} ${clock.run}`) ?? 0);
    trueTimes.set(id, now);
    return { id, deviceId: device(name), deviceNo, deviceAt, clockRun: runId(), at };
  }

  function keep(line: Recorded): Recorded {
    known.set(line.id, line);
    outbox.add(line.id);
    standing = withLine(standing, line);
    return line;
  }

  return {
    name,
    trueTimes,
    write(said, now) {
      const atlas: Atlas = { places: WORLD, history: standing.history };
      if (said.kind === 'move' && said.thingId !== null && wouldLoop(said.thingId, said.toId, atlas))
        return null;
      return keep({ ...said, ...stamp(now) });
    },
    undo: (line, now) => keep({ ...makeVoid(line, 0), ...stamp(now) }),
    restart(clockMovesMs) {
      clock = { errorMs: clock.errorMs + clockMovesMs, run: clock.run + 1, lastAt: 0 };
    },
    request: (lines) => ({
      deviceId: device(name),
      clocks: [...measured].map(([run, offsetMs]) => ({ clockRun: clockRun(run), offsetMs })),
      lines,
      cursor,
    }),
    hear(reply, sentAt, now) {
      for (const { id, at, timeUncertain } of reply.answers) {
        const line = known.get(id);
        if (line !== undefined) known.set(id, { ...line, at, timeUncertain });
        outbox.delete(id);
      }
      for (const line of reply.feed) known.set(line.id, line);
      cursor = Math.max(cursor, reply.cursor);
      // Half the way there and back is the usual guess of when the service read its clock; a slow answer tells nothing.
      if (now - sentAt <= MEASURE_MS_MAX) {
        measured.set(
          `${name} ${clock.run}`,
          Math.round(reply.serviceAt - (sentAt + now) / 2 - clock.errorMs),
        );
      }
      standing = standingOf(bookOf([...known.values()]));
    },
    outbox: () => [...known.values()].filter((line) => outbox.has(line.id)),
    lines: () => [...known.values()],
    standing: () => standing,
  };
}
