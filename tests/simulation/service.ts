// The service, in memory: takes batches, gives times, answers line by line, hands out a feed. No database and no
// HTTP; what it decides it decides with the domain, as the real one does.
import { type ClockRunState, timeLines } from '#domain/clock.ts';
import type { TimedLine } from '#domain/clock-room.ts';
import type { DeviceId, MovementId } from '#domain/ids.ts';
import type { ClockMeasure, Recorded } from '#domain/movement.ts';

export interface Request {
  readonly deviceId: DeviceId;
  readonly clocks: readonly ClockMeasure[];
  /** As the phone has them; its own guess of `at` is not looked at. */
  readonly lines: readonly Recorded[];
  readonly cursor: number;
}

export interface Answer {
  readonly answer: 'recorded' | 'already-known' | 'waiting';
  readonly id: MovementId;
  readonly at: number;
  readonly timeUncertain: boolean;
}

export interface Reply {
  readonly answers: readonly Answer[];
  readonly serviceAt: number;
  readonly feed: readonly Recorded[];
  readonly cursor: number;
}

export interface Service {
  readonly receive: (request: Request, now: number) => Reply;
  /** What is recorded, in the order of becoming so. */
  readonly ledger: readonly Recorded[];
  readonly waiting: ReadonlyMap<MovementId, Recorded>;
  readonly runs: ReadonlyMap<string, ClockRunState>;
}

export function startService(): Service {
  const ledger: Recorded[] = [];
  const stored = new Map<MovementId, Recorded>();
  const waiting = new Map<MovementId, Recorded>();
  const runs = new Map<string, ClockRunState>();

  function timesOf(deviceId: DeviceId): readonly TimedLine[] {
    return [...stored.values(), ...waiting.values()].filter((line) => line.deviceId === deviceId);
  }

  function store(line: Recorded): Answer['answer'] {
    if (line.kind === 'void' && !stored.has(line.voids)) {
      waiting.set(line.id, line);
      return 'waiting';
    }
    stored.set(line.id, line);
    ledger.push(line);
    for (const held of waiting.values()) {
      if (held.kind !== 'void' || held.voids !== line.id) continue;
      waiting.delete(held.id);
      store(held);
    }
    return 'recorded';
  }

  function receive(request: Request, now: number): Reply {
    const known = (id: MovementId) => stored.get(id) ?? waiting.get(id);
    const lines = request.lines.filter((line) => known(line.id) === undefined);
    const { times, runs: grown } = timeLines({
      lines,
      runs: [...runs.values()].filter((run) => run.deviceId === request.deviceId),
      measures: request.clocks,
      receivedAt: now,
      neighbours: timesOf(request.deviceId),
    });
    for (const run of grown) runs.set(run.id, run);
    const answers = request.lines.map((line): Answer => {
      const kept = known(line.id);
      if (kept !== undefined) {
        const answer = waiting.has(line.id) ? 'waiting' : 'already-known';
        return { answer, id: kept.id, at: kept.at, timeUncertain: kept.timeUncertain };
      }
      const time = times.get(line.id);
      if (time === undefined) throw new Error('a line was given no time');
      return { answer: store({ ...line, ...time }), id: line.id, ...time };
    });
    return { answers, serviceAt: now, feed: ledger.slice(request.cursor), cursor: ledger.length };
  }

  return { receive, ledger, waiting, runs };
}
