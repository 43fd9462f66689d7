import { fUpperQuantile } from '../numerics/distributions.js';

/**
 * Upper control limit of a spread seen in one sitting against the long-run one.
 * @param longRun pooled standard deviation of earlier sittings
 * @param longRunFreedom its degrees of freedom, at least 1
 * @param freedom of the new one, remounts less one
 * @param risk of an alarm without cause
 * @returns in the unit of the standard deviation: s₁·√F
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 2.2.3.1
 */
export function spreadLimit(longRun: number, longRunFreedom: number, freedom: number, risk = 0.05): number {
  return longRun * Math.sqrt(fUpperQuantile(risk, freedom, longRunFreedom));
}
