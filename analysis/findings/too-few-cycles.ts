import type { ProcedureName } from '../result.js';
import type { Criterion } from './evidence.js';
import { warning } from './finding.js';

const fewestCycles = 8;
/** These take one stroke for each speed or place, and their spread from elsewhere. */
const shortByDesign: readonly ProcedureName[] = ['slow-sweep', 'travel-sweep', 'spring-pull'];
/** A ladder cut short looks like a slow sweep, which has a stroke each way at several speeds. */
const fewestOfSweep = 5;

/** Too few cycles to know how one differs from the next. */
export const tooFewCycles: Criterion = ({ trace, analysis: { cycles, procedure } }) => {
  const short = shortByDesign.includes(procedure);
  const doubtful = procedure === 'slow-sweep' && !trace.procedure && cycles < fewestOfSweep;
  return cycles < fewestCycles && (!short || doubtful)
    ? warning('too-few-cycles', { cycles, wanted: fewestCycles })
    : null;
};
