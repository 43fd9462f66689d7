import type { ProcedureName } from '../result.js';
import type { Criterion } from './evidence.js';
import { warning } from './finding.js';

const fewestCycles = 8;
/** These take one stroke for each speed or place, and their spread from elsewhere. */
const shortByDesign: readonly ProcedureName[] = ['slow-sweep', 'travel-sweep', 'spring-pull'];

/** Too few cycles to know how one differs from the next. */
export const tooFewCycles: Criterion = ({ analysis: { cycles, procedure } }) =>
  cycles < fewestCycles && !shortByDesign.includes(procedure)
    ? warning('too-few-cycles', { cycles, wanted: fewestCycles })
    : null;
