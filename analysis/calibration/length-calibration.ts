import { calibrateScale, type ScaleCalibration, type ScaleOutcome } from './force-calibration.js';
import type { KnownReading } from './load-series.js';

export const fewestLengths = 3;

/** A position channel calibrated with known lengths, each counted from full extension. */
export interface LengthCalibration extends ScaleCalibration {
  /** Reading going back less reading going in at the same length, mean, m: play and backlash; null one way only. */
  readonly backlash_m: number | null;
}

export type LengthOutcome =
  | { readonly ok: true; readonly calibration: LengthCalibration }
  | Extract<ScaleOutcome, { readonly ok: false }>;

/**
 * Calibrates a position channel with known lengths: gauge blocks, drill shanks, a calliper.
 * @param readings in m from full extension, in the order taken, 0 first
 * @param lengthUncertainty_m standard uncertainty of a length
 */
export function calibrateLength(
  readings: readonly KnownReading[],
  lengthUncertainty_m: number,
): LengthOutcome {
  const longest_m = readings.reduce((most, { value }) => Math.max(most, Math.abs(value)), 0);
  const outcome = calibrateScale(
    readings,
    longest_m > 0 ? lengthUncertainty_m / longest_m : 0,
    fewestLengths,
  );
  if (!outcome.ok) return outcome;
  const { runs, scale } = outcome.calibration;
  const returns = runs.flatMap(({ points }) =>
    points
      .filter(({ direction }) => direction === 'down')
      .flatMap((back) => {
        const there = points.find(({ value, direction }) => direction === 'up' && value === back.value);
        return there ? [(back.deflection_counts - there.deflection_counts) * scale.perCount] : [];
      }),
  );
  const backlash_m = returns.length > 0 ? returns.reduce((a, b) => a + b, 0) / returns.length : null;
  return { ok: true, calibration: { ...outcome.calibration, backlash_m } };
}
