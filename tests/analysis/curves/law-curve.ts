import { curvePointOf, estimateOf, type ForceCurve } from '../../../analysis/index.js';

export interface Law {
  readonly linear: number;
  readonly quadratic: number;
}

/** A damping curve that follows a·v + b·v², with standard errors of a and b that are independent. */
export function lawCurve(
  laws: { readonly compression: Law; readonly rebound: Law },
  options: {
    readonly fastest_m_per_s?: number;
    readonly error?: Law;
    readonly temperature_degC?: number | null;
  } = {},
): ForceCurve {
  const { fastest_m_per_s = 0.4, error = { linear: 0, quadratic: 0 }, temperature_degC = 25 } = options;
  const shares = [0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1];
  const points = [...shares.map((s) => -s).reverse(), ...shares].map((share) => {
    const v = share * fastest_m_per_s;
    const law = v > 0 ? laws.compression : laws.rebound;
    const force_N = law.linear * v + law.quadratic * v * Math.abs(v);
    return curvePointOf(v, estimateOf(force_N, Math.hypot(error.linear * v, error.quadratic * v * v)));
  });
  return {
    kind: 'damping',
    points,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    temperature_degC,
    ceiling_N: null,
    origin: 'recording',
  };
}

export const bothWays = (linear: number, quadratic: number) => ({
  compression: { linear, quadratic },
  rebound: { linear, quadratic },
});
