import type { TermName } from '../identification/columns.js';
import type { Criterion, Evidence } from './evidence.js';
import { warning } from './finding.js';

/** A stop stiffer than this is metal or hard plastic; a foam or rubber bumper is softer. From memory, no source. */
const hardStop_N_per_mm = 20;

/** A shorter dead stroke is the seal's own giving way, which the fit had no better name for, m. */
const leastDeadStroke_m = 0.2e-3;

const coefficient = ({ identification: { problem, fit } }: Evidence, term: TermName) =>
  fit.coefficients[problem.terms.indexOf(term)] ?? 0;

/** Damping that comes back only over a dead stroke after each reversal, as the fit has it; see `findFeatures`. */
export const airInOil: Criterion = ({ identification: { problem, fit } }) =>
  problem.features.travel_m && fit.shape.deadStroke_m > leastDeadStroke_m
    ? warning('air-in-oil', { deadStroke_mm: 1e3 * fit.shape.deadStroke_m })
    : null;

/** Compression damping that stops rising, as the fit has it; its force is damping alone at mid-stroke. */
export const compressionCeiling: Criterion = (evidence) =>
  evidence.identification.problem.features.atCeiling?.some((value) => value === 1)
    ? warning('compression-ceiling', { force_N: coefficient(evidence, 'ceiling') })
    : null;

/** Something touched before the end of the travel, as the fit has it. */
export const endContact: Criterion = (evidence) => {
  const { features, span } = evidence.identification.problem;
  const { stop_m } = evidence.identification.fit.shape;
  if (features.stopSide === null) return null;
  const stiffness_N_per_mm = 1e-3 * coefficient(evidence, 'stop');
  return warning('end-contact', {
    position_mm: 1e3 * stop_m,
    kind: stiffness_N_per_mm > hardStop_N_per_mm ? 'hard' : 'soft',
    side: features.stopSide > 0 ? 'compression' : 'extension',
    stiffness_N_per_mm,
    pressed_mm: 1e3 * (features.stopSide > 0 ? span.high_m - stop_m : stop_m - span.low_m),
  });
};
