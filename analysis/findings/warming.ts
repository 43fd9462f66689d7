import { slopeOf } from '../numerics/summary.js';
import type { Trace } from '../trace.js';
import type { Criterion, Evidence } from './evidence.js';
import { warning } from './finding.js';

/** A measured rise that thins silicone by 3 % (about 2 % per K near room temperature), K. */
const leastRise_K = 1.5;
/** Damping lost from start to end, by the fit's warming term, and its size in standard errors. */
const leastLoss = 0.02;
const certain = 5;

/**
 * The oil warmed while it was measured: the temperature rose, or damping fell while energy went in.
 * Both are looked at, because a sensor on the body lags behind the oil, and many rigs have none.
 */
export const warming: Criterion = (evidence) => {
  const rise_K = temperatureRise(evidence.trace);
  const loss = dampingLoss(evidence);
  if (rise_K < leastRise_K && loss < leastLoss) return null;
  return warning('warming', {
    ...(rise_K >= leastRise_K ? { rise_K } : {}),
    ...(loss >= leastLoss ? { thinner_percent: 100 * loss } : {}),
  });
};

/** Rise along the straight line through the temperatures, K; 0 where there are too few to tell. */
function temperatureRise({ temperature: { time_s, temperature_degC } }: Trace): number {
  const n = time_s.length;
  if (n < 4) return 0;
  return slopeOf(time_s, temperature_degC) * (time_s[n - 1] - time_s[0]);
}

/** Share of the linear damping lost from start to end, where it is certain; else 0. */
function dampingLoss({ identification: { problem, fit, covariance } }: Evidence): number {
  const at = problem.terms.indexOf('thinning');
  if (at < 0) return 0;
  const error = Math.sqrt(covariance.matrix[at * covariance.size + at]);
  const change = fit.coefficients[at];
  const linear =
    0.5 *
    (fit.coefficients[problem.terms.indexOf('linearCompression')] +
      fit.coefficients[problem.terms.indexOf('linearRebound')]);
  return linear > 0 && change < -certain * error ? -change / linear : 0;
}
