import { type Corner, type ForceCurve, typedCurve } from '../../../analysis/index.js';

/** A curve of c·v + q·v·|v| up to a speed, given by three points each way. */
export function law(linear: number, quadratic = 0, fastest_m_per_s = 1): ForceCurve {
  const outcome = typedCurve(
    [-1, -0.5, -0.001, 0.001, 0.5, 1].map((share) => {
      const v = share * fastest_m_per_s;
      return { velocity_m_per_s: v, force_N: linear * v + quadratic * v * Math.abs(v) };
    }),
  );
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.curve;
}

/** An invented small truck's corner. */
export const truck: Corner = {
  label: 'light pack',
  sprung_kg: 0.55,
  unsprung_kg: 0,
  motionRatio: 1,
  motionRatioSlope_per_m: 0,
  spring_N_per_m: 200,
  preload_N: 0.6,
  tyre_N_per_m: null,
  travel_m: 0.05,
  damping: law(9, 6, 0.5),
  drag_N: { compression: 0.3, rebound: 0.3 },
};
