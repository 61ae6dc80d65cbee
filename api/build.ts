// `npm run build`: makes the desk and the phone page, whether or not they are there already.
import { buildFrontEnds } from './front-ends.ts';

await buildFrontEnds(['web', 'scanner']);
