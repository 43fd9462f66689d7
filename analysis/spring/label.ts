import type { Estimate } from '../result.js';
import { newtonPerMetreIn, type SpringRateUnit } from './rate-units.js';

export interface LabelCheck {
  /** Measured less printed, in per cent of the printed rate. */
  readonly deviation_percent: Estimate;
  readonly printed_N_per_m: number;
  readonly verdict: 'agrees' | 'differs' | 'undecided';
  /** The unit in which the printed number would agree, where it does not in the one stated: a label misread. */
  readonly readsLike: SpringRateUnit | null;
}

/** Cold-coiled springs are sold to about a tenth of their rate; common practice, no source. */
export const usualTolerance_percent = 10;

/**
 * Holds a measured spring against the rate on its label.
 * @param measured rate in N/m
 * @param printed number on the label, above 0
 */
export function checkSpringLabel(
  measured: Estimate,
  printed: number,
  unit: SpringRateUnit,
  tolerance_percent = usualTolerance_percent,
): LabelCheck {
  const against = (printed_N_per_m: number): Estimate => {
    const percent = (value: number) => 100 * (value / printed_N_per_m - 1);
    return {
      value: percent(measured.value),
      standardError: (100 * measured.standardError) / printed_N_per_m,
      low95: percent(measured.low95),
      high95: percent(measured.high95),
    };
  };
  const inside = ({ low95, high95 }: Estimate) => low95 >= -tolerance_percent && high95 <= tolerance_percent;
  const outside = ({ low95, high95 }: Estimate) => low95 > tolerance_percent || high95 < -tolerance_percent;
  const deviation_percent = against(printed * newtonPerMetreIn[unit]);
  const verdict = inside(deviation_percent) ? 'agrees' : outside(deviation_percent) ? 'differs' : 'undecided';
  const others = Object.keys(newtonPerMetreIn) as SpringRateUnit[];
  const readsLike =
    verdict === 'differs'
      ? (others.find(
          (other) => Math.abs(against(printed * newtonPerMetreIn[other]).value) <= tolerance_percent,
        ) ?? null)
      : null;
  return { deviation_percent, printed_N_per_m: printed * newtonPerMetreIn[unit], verdict, readsLike };
}
