import type { Criterion } from './evidence.js';
import { note } from './finding.js';

/** Width of the 95 % interval of the lag above which moving mass and damping are uncertain with it, ms. */
const widestLag_ms = 2;

/**
 * The lag of the force channel is not known from this recording: with linear damping it cannot be told from moving
 * mass but by the friction step, turbulence or a spring.
 */
export const lagUnresolved: Criterion = ({ analysis }) => {
  const lag = analysis.rig.lag_ms;
  if (lag && lag.high95 - lag.low95 <= widestLag_ms) return null;
  return note('lag-unresolved', { halfWidth_ms: lag ? (lag.high95 - lag.low95) / 2 : 'unknown' });
};

/** The converter's averaging was not declared and was chosen by residual. */
export const kernelChosen: Criterion = ({ identification: { kernel, kernelChosen } }) =>
  kernelChosen && kernel !== 'none' ? note('kernel-chosen', { kernel }) : null;
