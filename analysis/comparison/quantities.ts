import { dampingCurve, directionOf, type ForceCurve, fastestOf, readBeyond } from '../curves/force-curve.js';
import { forceOn } from '../curves/read-curve.js';
import { broughtTo } from '../oil/similarity.js';
import type { Estimate, RecordingAnalysis } from '../result.js';

/** Shaft speeds at which builds are compared, m/s. */
const comparedSpeeds_m_per_s: readonly number[] = [0.05, 0.1, 0.2, 0.3, 0.4];

/** One recording's value of a compared quantity, with the standard error known from within that recording. */
export interface Measured {
  readonly value: number;
  readonly standardError: number;
  /** What bringing it to the common temperature added; its error is shared by all recordings. */
  readonly correction?: number;
}

export interface Quantity {
  /** Name at the JSON surface; damping forces carry their speed in m/s. */
  readonly name: string;
  /** Null where the recording cannot support it. */
  readonly of: (analysis: RecordingAnalysis, temperature_degC: number | null) => Measured | null;
}

/** What builds are compared by: drag, breakaway, and damping force in N at given speeds per direction. */
export const comparedQuantities: readonly Quantity[] = [
  { name: 'friction_N', of: ({ friction }) => measured(friction.mean_N) },
  { name: 'breakaway_N', of: ({ friction }) => measured(friction.breakaway_N) },
  ...comparedSpeeds_m_per_s.flatMap((speed) =>
    ([1, -1] as const).map((direction) => ({
      name: `damping.${direction > 0 ? 'compression' : 'rebound'}@${speed.toFixed(2)}`,
      of: (analysis: RecordingAnalysis, temperature_degC: number | null) =>
        dampingAt(analysis, direction * speed, temperature_degC),
    })),
  ),
];

const measured = (estimate: Estimate | null): Measured | null =>
  estimate && { value: estimate.value, standardError: estimate.standardError };

/**
 * Damping force magnitude at a signed speed, brought to a temperature as `broughtTo` does, so that a compression
 * ceiling stays where it is.
 * @returns null beyond the measured speeds
 */
function dampingAt(
  analysis: RecordingAnalysis,
  velocity_m_per_s: number,
  temperature_degC: number | null,
): Measured | null {
  const curve = dampingCurve(analysis);
  const direction = directionOf(velocity_m_per_s);
  if (!curve || Math.abs(velocity_m_per_s) > readBeyond * fastestOf(curve, direction)) return null;
  const { force_N, standardError_N: standardError } = forceOn(curve, velocity_m_per_s)!;
  if (temperature_degC === null || analysis.temperature_degC === null)
    return { value: Math.abs(force_N), standardError };
  const brought_N = forceOn(lastBrought(curve, temperature_degC), velocity_m_per_s)!.force_N;
  const value = Math.abs(brought_N);
  return { value, standardError, correction: value - Math.abs(force_N) };
}

const brought = new WeakMap<ForceCurve, ForceCurve>();

/** A curve at a temperature, which all quantities of a comparison ask for in turn. */
function lastBrought(curve: ForceCurve, temperature_degC: number): ForceCurve {
  const last = brought.get(curve);
  if (last?.temperature_degC === temperature_degC) return last;
  const now = broughtTo(curve, temperature_degC);
  brought.set(curve, now);
  return now;
}
