import { estimateOf } from '../estimate.js';
import { leastSquares } from '../numerics/linear.js';
import type { Estimate } from '../result.js';
import type { LoadSeries } from './load-series.js';
import type { Scale } from './scale.js';

/** What a kelvin does to a calibrated channel. */
export interface TemperatureDrift {
  /** Unit of the quantity per K. */
  readonly zero_per_K: Estimate;
  /** Per cent of the value per K. */
  readonly span_percent_per_K: Estimate;
  readonly from_degC: number;
  readonly to_degC: number;
}

/** Below this span a drift would be read from noise. Common practice, no source. */
const leastSpan_K = 3;

/**
 * Drift of zero and span with temperature, from runs at different temperatures.
 * @returns null with fewer than three runs that have a temperature, or within less than 3 K
 */
export function temperatureDrift(runs: readonly LoadSeries[], scale: Scale): TemperatureDrift | null {
  const known = runs.filter(
    ({ temperature_degC, zero_counts, points }) =>
      temperature_degC !== null && zero_counts !== null && points.length > 0,
  );
  const temperatures = Float64Array.from(known, ({ temperature_degC }) => temperature_degC!);
  const [from_degC, to_degC] = [Math.min(...temperatures), Math.max(...temperatures)];
  if (known.length < 3 || !(to_degC - from_degC >= leastSpan_K)) return null;
  const zeros = Float64Array.from(known, ({ zero_counts }) => zero_counts! * scale.perCount);
  const spans = Float64Array.from(known, ({ points }) => {
    const squares = points.reduce((sum, { value }) => sum + value * value, 0);
    const products = points.reduce((sum, { value, deflection_counts: d }) => sum + value * d, 0);
    return (100 * products * scale.perCount) / squares;
  });
  const slope = (values: Float64Array): Estimate => {
    const fit = leastSquares([temperatures.map(() => 1), temperatures], values);
    return estimateOf(fit.coefficients[1], Math.sqrt(fit.covariance[3]), fit.degreesOfFreedom);
  };
  return { zero_per_K: slope(zeros), span_percent_per_K: slope(spans), from_degC, to_degC };
}
