import { type CurvePoint, type RecordingAnalysis, scaleEstimate } from '../../analysis/index.js';
import type { AcrossRemounts } from '../answers/index.js';
import { decimalsOfUncertainty, formatChosen, formatDecimals, formatNumber, plusMinus } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** Speed at which damping is quoted in sentences, as in comparisons. */
const QUOTED_SPEED_M_PER_S = 0.1;

/**
 * What one recording found, as a sentence or two.
 * @param analysis of a recording that could be analysed
 * @param units display units
 * @returns e.g. "Drag is 1.32 ± 0.05 N and breakaway 1.60 ± 0.08 N. At 100 mm/s damping is 3.2 ± 0.1 N in
 *   compression and 2.1 ± 0.1 N in rebound, at 23.4 °C."
 */
export function recordingSentence(analysis: RecordingAnalysis, units: DisplayUnits = metric): string {
  return `${dragSentence(analysis, units)} ${dampingSentence(analysis, units)}`;
}

function dragSentence({ friction }: RecordingAnalysis, units: DisplayUnits): string {
  const { unit, factor } = displayScale('force', units);
  if (!friction.mean_N) return 'Drag cannot be told from this recording.';
  const drag = `Drag is ${plusMinus(scaleEstimate(friction.mean_N, factor), unit)}`;
  return friction.breakaway_N
    ? `${drag} and breakaway ${plusMinus(scaleEstimate(friction.breakaway_N, factor), unit)}.`
    : `${drag}.`;
}

function dampingSentence({ damping, temperature_degC }: RecordingAnalysis, units: DisplayUnits): string {
  const compression = pointNearest(damping.curve, QUOTED_SPEED_M_PER_S);
  const rebound = pointNearest(damping.curve, -QUOTED_SPEED_M_PER_S);
  const parts = [
    compression && `${forceWords(compression, units)} in compression ${speedWords(compression, units)}`,
    rebound && `${forceWords(rebound, units)} in rebound ${speedWords(rebound, units)}`,
  ].filter((part) => part !== null);
  if (parts.length === 0) return 'Damping cannot be told from this recording.';
  const warmth =
    temperature_degC === null ? '' : `, with the shock at ${formatDecimals(temperature_degC, 1)} °C`;
  return `Damping is ${parts.join(' and ')}${warmth}.`;
}

/**
 * What another mounting might have shown: "Over remounts drag is 1.32 ± 0.11 N: on this rig one mounting differs from
 * another by 3.1 %." Null where the rig's spread is not known.
 */
export function acrossSentence(
  across: readonly AcrossRemounts[],
  units: DisplayUnits = metric,
): string | null {
  const drag = across.find(({ quantity }) => quantity === 'friction_N');
  if (!drag) return null;
  const { unit, factor } = displayScale('force', units);
  const value = plusMinus(scaleEstimate(drag.estimate, factor), unit);
  return `Over remounts drag is ${value}: on this rig one mounting differs from another by ${formatNumber(100 * drag.spread.relative, 2)} %.`;
}

/** The measured curve's own point closest to a speed on that side of zero; nothing is interpolated here. */
export function pointNearest(curve: readonly CurvePoint[], velocity_m_per_s: number): CurvePoint | null {
  const side = curve.filter((point) => Math.sign(point.velocity_m_per_s) === Math.sign(velocity_m_per_s));
  return side.reduce<CurvePoint | null>(
    (best, point) =>
      best === null ||
      Math.abs(point.velocity_m_per_s - velocity_m_per_s) < Math.abs(best.velocity_m_per_s - velocity_m_per_s)
        ? point
        : best,
    null,
  );
}

function forceWords(point: CurvePoint, units: DisplayUnits): string {
  const { unit, factor } = displayScale('force', units);
  const halfWidth = ((point.high95_N - point.low95_N) / 2) * factor;
  const decimals = decimalsOfUncertainty(halfWidth);
  const magnitude = point.force_N * Math.sign(point.velocity_m_per_s) * factor;
  if (decimals === null) return `${formatNumber(magnitude)} ${unit}`;
  return `${formatDecimals(magnitude, decimals)} ± ${formatDecimals(halfWidth, decimals)} ${unit}`;
}

function speedWords(point: CurvePoint, units: DisplayUnits): string {
  const { unit, factor } = displayScale('velocity', units);
  return `at ${formatChosen(Math.abs(point.velocity_m_per_s) * factor)} ${unit}`;
}
