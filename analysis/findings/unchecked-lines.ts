import type { Criterion } from './evidence.js';
import { note } from './finding.js';

/** Said of every recording whose lines came without a checksum: what is wrong with one cannot be seen. */
export const uncheckedLines: Criterion = ({ trace }) =>
  trace.rig.linesUnchecked ? note('unchecked-lines') : null;
