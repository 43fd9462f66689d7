/**
 * What turns counts into force and position: straight lines, force positive when the shock pushes back,
 * position positive into compression. A standard uncertainty is null where nobody has found it out.
 */
export interface Calibration {
  readonly force: {
    readonly newton_per_count: number;
    readonly zero_counts: number;
    readonly standardUncertainty_newton_per_count?: number | null;
  };
  readonly position: {
    readonly metre_per_count: number;
    readonly zero_counts: number;
    readonly standardUncertainty_metre_per_count?: number | null;
  };
}

/** For values that are N and m already, as in imported files. */
export const identityCalibration: Calibration = {
  force: { newton_per_count: 1, zero_counts: 0 },
  position: { metre_per_count: 1, zero_counts: 0 },
};

/** Force in N, one value for each of the counts. */
export function forceFromCounts(counts: ArrayLike<number>, { force }: Calibration): Float64Array {
  return straightLine(counts, force.zero_counts, force.newton_per_count);
}

/** Position in m, one value for each of the counts. */
export function positionFromCounts(counts: ArrayLike<number>, { position }: Calibration): Float64Array {
  return straightLine(counts, position.zero_counts, position.metre_per_count);
}

/** Temperature in °C from thousandths of a degree, the one unit a rig sends it in. */
export function temperatureFromMillidegrees(counts: ArrayLike<number>): Float64Array {
  return Float64Array.from(counts, (value) => value / 1000);
}

function straightLine(counts: ArrayLike<number>, zero: number, slope: number): Float64Array {
  const values = new Float64Array(counts.length);
  for (let i = 0; i < values.length; i++) values[i] = (counts[i]! - zero) * slope;
  return values;
}
