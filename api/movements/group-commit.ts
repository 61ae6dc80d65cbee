// Concurrent requests share a transaction: while one is on its way to the disk, the next ones gather. A lone request
// goes at once; only under load a group waits a moment for those who were just answered.
import { setTimeout } from 'node:timers/promises';
import type postgres from 'postgres';
import { type Batch, type LineAnswer, MOVEMENTS_PER_BATCH_MAX } from '#domain/movement.ts';
import { type Arrived, recordLines } from './record-lines.ts';

interface Waiting {
  readonly batch: Batch;
  readonly resolve: (answers: readonly LineAnswer[]) => void;
  readonly reject: (error: unknown) => void;
}

/** From this many requests in a group on, the next group gathers for a moment before it goes. */
const CROWD = 8;
const GATHER_MS = 3;

export type Recorder = (batch: Batch) => Promise<readonly LineAnswer[]>;

/** As many of the first as fit into one batch; at least one. */
function takeGroup(queue: Waiting[]): readonly Waiting[] {
  let lines = 0;
  const fits = queue.findIndex(({ batch }) => {
    lines += batch.movements.length;
    return lines > MOVEMENTS_PER_BATCH_MAX;
  });
  return queue.splice(0, fits === -1 ? queue.length : Math.max(1, fits));
}

// The answers name the place of a line in its own request.
function shareOut(group: readonly Waiting[], answers: readonly LineAnswer[]): void {
  let from = 0;
  for (const { batch, resolve } of group) {
    const start = from;
    from += batch.movements.length;
    resolve(
      answers
        .slice(start, from)
        .map((answer) => (answer.answer === 'refused' ? { ...answer, index: answer.index - start } : answer)),
    );
  }
}

/** Makes the recorder of one service process. `clock`: UTC ms of receipt. */
export function makeRecorder(sql: postgres.Sql, clock: () => number): Recorder {
  const queue: Waiting[] = [];
  let running = false;
  const arrivedOf = (group: readonly Waiting[]): Arrived => ({
    batch: {
      clocks: group.flatMap((one) => one.batch.clocks),
      movements: group.flatMap((one) => one.batch.movements),
    },
    receivedAt: clock(),
  });
  /** Records what gathers, and says how many requests that were. */
  const recordGroup = async (gathering: Promise<readonly Waiting[]>): Promise<number> => {
    try {
      const answers = await recordLines(sql, gathering.then(arrivedOf));
      shareOut(await gathering, answers);
    } catch (error) {
      const group = await gathering;
      if (group.length === 1) group[0]?.reject(error);
      // One request's trouble is not the others': each goes alone.
      else for (const one of group) await recordGroup(Promise.resolve([one]));
    }
    return (await gathering).length;
  };
  // A lone request goes at once. Under load those who were just answered ask again in a moment, and a group with them
  // costs the database no more than one without.
  const gather = async (crowd: number): Promise<readonly Waiting[]> => {
    if (crowd >= CROWD) await setTimeout(GATHER_MS);
    return takeGroup(queue);
  };
  const run = async () => {
    running = true;
    let crowd = 1;
    while (queue.length > 0) crowd = await recordGroup(gather(crowd));
    running = false;
  };
  return (batch) =>
    new Promise((resolve, reject) => {
      queue.push({ batch, resolve, reject });
      if (!running) void run();
    });
}
