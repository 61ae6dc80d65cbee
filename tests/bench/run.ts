// `npm run bench`: every figure as one JSON line, or those that are named: npm run bench -- "single movement".
import { benchBackup, benchRestore } from './backup.ts';
import { benchBatchOfMovements } from './batch-of-movements.ts';
import { benchCountAtScale } from './count-at-scale.ts';
import { benchDeskJavascript } from './desk-javascript.ts';
import { benchPhoneJavascript } from './phone-javascript.ts';
import { benchPhoneVerdict } from './phone-verdict.ts';
import { benchSearch } from './search.ts';
import { benchSecondStart } from './second-start.ts';
import { type BenchServer, startBenchServer } from './service.ts';
import { benchSingleMovement } from './single-movement.ts';
import { benchTree } from './tree.ts';

const ON_A_SERVER: Readonly<Record<string, (server: BenchServer) => Promise<void>>> = {
  'single movement': benchSingleMovement,
  'batch of movements': benchBatchOfMovements,
  'count at scale': benchCountAtScale,
  search: benchSearch,
  backup: benchBackup,
  restore: benchRestore,
};
const ALONE: Readonly<Record<string, () => Promise<void>>> = {
  'phone verdict': benchPhoneVerdict,
  'second start': benchSecondStart,
  'phone javascript': benchPhoneJavascript,
  'tree of 100,000': benchTree,
  'desk javascript': benchDeskJavascript,
};

const names = [...Object.keys(ON_A_SERVER), ...Object.keys(ALONE)];
const asked = process.argv.slice(2);
const unknown = asked.find((name) => !names.includes(name));
if (unknown !== undefined)
  throw new Error(`There is no figure "${unknown}". There are: ${names.join(', ')}.`);
const wanted = (name: string) => asked.length === 0 || asked.includes(name);

if (Object.keys(ON_A_SERVER).some(wanted)) {
  const server = await startBenchServer();
  try {
    for (const [name, bench] of Object.entries(ON_A_SERVER)) if (wanted(name)) await bench(server);
  } finally {
    await server.stop();
  }
}
for (const [name, bench] of Object.entries(ALONE)) if (wanted(name)) await bench();
