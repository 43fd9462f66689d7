import { pdmsViscosityRatio } from '../oil/silicone.js';
import type { CurvePoint, Estimate, RecordingAnalysis } from '../result.js';

/** Shaft speeds at which builds are compared, m/s. */
export const comparedSpeeds_m_per_s: readonly number[] = [0.05, 0.1, 0.2, 0.3, 0.4];

/** One recording's value of a compared quantity, with the standard error known from within that recording. */
export interface Measured {
  readonly value: number;
  readonly standardError: number;
}

export interface Quantity {
  /** Name at the JSON surface; damping forces carry their speed in m/s. */
  readonly name: string;
  /** Null where the recording cannot support it. */
  readonly of: (analysis: RecordingAnalysis, temperature_degC: number | null) => Measured | null;
}

/** Share of a temperature correction that is taken as its standard uncertainty: oils differ from the relation used. */
const correctionUncertainty = 0.15;

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
 * Damping force magnitude at a signed speed, brought to a temperature by scaling its linear (viscous) part.
 * @returns null beyond 5 % outside the measured speeds
 */
function dampingAt(
  analysis: RecordingAnalysis,
  velocity_m_per_s: number,
  temperature_degC: number | null,
): Measured | null {
  const { curve, compression, rebound } = analysis.damping;
  const side = velocity_m_per_s > 0 ? compression : rebound;
  const point = onCurve(curve, velocity_m_per_s);
  if (!point || !side.linear_Ns_per_m) return null;
  const speed = Math.abs(velocity_m_per_s);
  const standardError = point.standardError;
  const value = Math.abs(point.value);
  if (temperature_degC === null || analysis.temperature_degC === null) return { value, standardError };
  const ratio = pdmsViscosityRatio(temperature_degC) / pdmsViscosityRatio(analysis.temperature_degC);
  const correction = side.linear_Ns_per_m.value * speed * (ratio - 1);
  return {
    value: value + correction,
    standardError: Math.hypot(standardError, correctionUncertainty * correction),
  };
}

/** The curve between its two neighbouring points; a chord of a parabola, so points must be close together. */
function onCurve(curve: readonly CurvePoint[], velocity_m_per_s: number): Measured | null {
  const side = curve
    .filter((point) => point.velocity_m_per_s * velocity_m_per_s > 0)
    .sort((a, b) => Math.abs(a.velocity_m_per_s) - Math.abs(b.velocity_m_per_s));
  const speed = Math.abs(velocity_m_per_s);
  const last = side.at(-1);
  if (!last || speed > 1.05 * Math.abs(last.velocity_m_per_s)) return null;
  const above = Math.max(
    1,
    side.findIndex((point) => Math.abs(point.velocity_m_per_s) >= speed),
  );
  const [low, high] =
    speed > Math.abs(last.velocity_m_per_s) ? side.slice(-2) : side.slice(above - 1, above + 1);
  if (!low || !high) return null;
  const share = (velocity_m_per_s - low.velocity_m_per_s) / (high.velocity_m_per_s - low.velocity_m_per_s);
  const between = (of: (point: CurvePoint) => number) => of(low) + share * (of(high) - of(low));
  return {
    value: between((point) => point.force_N),
    standardError: between((point) => point.high95_N - point.low95_N) / (2 * 1.96),
  };
}
