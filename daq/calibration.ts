import type { ChannelKind } from '../firmware-protocol/index.js';

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

/** Whether counts of a channel can be told in N, m or °C: a temperature only as a rig's thousandths of a degree. */
export function isReadable({ kind, unit }: { kind: ChannelKind; unit: string }): boolean {
  return kind !== 'temperature' || unit === 'mdegC';
}

/** Counts in the unit of their channel: N, m or °C (a rig sends thousandths of a degree). */
export function valuesFromCounts(
  kind: ChannelKind,
  counts: ArrayLike<number>,
  { force, position }: Calibration,
): Float64Array {
  if (kind === 'force') return straightLine(counts, force.zero_counts, force.newton_per_count);
  if (kind === 'position') return straightLine(counts, position.zero_counts, position.metre_per_count);
  return Float64Array.from(counts, (mdegC) => mdegC / 1000);
}

function straightLine(counts: ArrayLike<number>, zero: number, slope: number): Float64Array {
  const values = new Float64Array(counts.length);
  for (let i = 0; i < values.length; i++) values[i] = (counts[i]! - zero) * slope;
  return values;
}
