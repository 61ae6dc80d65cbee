// "second start": from the command to healthy, on a data folder that was set up before.
import { rmSync } from 'node:fs';
import { medianOf, printFigure } from './figure.ts';
import { makeFolder, startProgram } from './service.ts';

const ROUNDS = 5;

async function startOnce(folder: string): Promise<number> {
  const running = await startProgram('api/main.ts', { DATA: folder, DATABASE_URL: '' });
  await running.stop();
  return running.seconds;
}

export async function benchSecondStart(): Promise<void> {
  const folder = makeFolder();
  try {
    const first = await startOnce(folder);
    const later: number[] = [];
    for (let round = 0; round < ROUNDS; round += 1) later.push(await startOnce(folder));
    printFigure({
      ...{
        figure: 'second start',
        value: Number(medianOf(later).toFixed(2)),
        unit: 's',
        against: null,
        ratio: null,
      },
      firstStart: Number(first.toFixed(2)),
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
