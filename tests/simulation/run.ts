// `npm run simulate -- --seed 7` plays one evening and prints what happened and where everything ended up.
import { parseArgs } from 'node:util';
import { loopsIn } from '#domain/chain.ts';
import { standingOf } from '#domain/ledger.ts';
import { bookOf, WORLD } from '../domain/making.ts';
import { faultsOf } from './faults.ts';
import { simulate } from './simulate.ts';

const { values } = parseArgs({ options: { seed: { type: 'string', default: '1' } } });
const seed = Number(values.seed);
if (!Number.isSafeInteger(seed)) {
  console.error(`A seed is a whole number, such as 7; "${values.seed}" is none.`);
  process.exit(2);
}
const evening = simulate(seed);
for (const happening of evening.happenings) console.log(happening);
const standing = standingOf(bookOf(evening.service.ledger));
const loops = loopsIn({ places: WORLD, history: standing.history });
console.log(`\nseed ${seed}`, evening.tally);
console.log(`${evening.service.ledger.length} lines kept, ${loops.length} containers in conflict`);
const faults = faultsOf(evening);
for (const fault of faults) console.log(`FAULT  ${fault}`);
console.log(faults.length === 0 ? 'every law holds' : `${faults.length} faults`);
process.exitCode = faults.length === 0 ? 0 : 1;
