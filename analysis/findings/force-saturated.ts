import type { Criterion } from './evidence.js';
import { warning } from './finding.js';

/** Force samples at the converter's limits, declared or seen; see `usableSamples`. */
export const forceSaturated: Criterion = ({ trace, usable: { saturated } }) =>
  saturated > 0
    ? warning('force-saturated', {
        samples: saturated,
        share_percent: (100 * saturated) / trace.force.time_s.length,
      })
    : null;
