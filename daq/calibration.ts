import { positionFromCrank_m, quantityOf } from '../analysis/calibration/index.js';
import type { KnownLag } from '../analysis/index.js';
import type { ChannelKind } from '../firmware-protocol/index.js';

/**
 * What turns counts into force and position, force positive when the shock pushes back, position positive into
 * compression; and what else is known of the rig that made them. A standard uncertainty is null or absent where nobody
 * has found it out.
 */
export interface Calibration {
  readonly force: ForceScale;
  readonly position: PositionScale;
  /** Delay of the force behind the position beyond the converter's own, from a spring check. */
  readonly lag?: KnownLag;
  /** What moves between the cell and the shock, from an unloaded run. */
  readonly movingMass?: { readonly value_kg: number; readonly standardUncertainty_kg: number };
}

/** counts − zero_counts = (force / newton_per_count)·(1 + bend_per_N·force); a straight line without a bend. */
export interface ForceScale {
  readonly newton_per_count: number;
  readonly zero_counts: number;
  readonly standardUncertainty_newton_per_count?: number | null;
  readonly bend_per_N?: number;
  /** Scatter of a single force about the scale: repeatability, reversibility, zero. */
  readonly standardUncertainty_N?: number | null;
}

/** As the force's scale, or by the geometry of a crank that carries the sensor. */
export interface PositionScale {
  /** With a crank: its steepest slope, for looking at; the geometry is what counts. */
  readonly metre_per_count: number;
  /** Counts at full extension. */
  readonly zero_counts: number;
  readonly standardUncertainty_metre_per_count?: number | null;
  readonly bend_per_m?: number;
  readonly standardUncertainty_m?: number | null;
  readonly crank?: {
    readonly radius_m: number;
    readonly rod_m: number;
    readonly counts_per_revolution: number;
  };
}

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
  if (kind === 'temperature') return Float64Array.from(counts, (mdegC) => mdegC / 1000);
  const { crank, zero_counts } = position;
  if (kind === 'position' && crank) {
    const scale = { ...crank, zero_counts };
    return Float64Array.from(counts, (count) => positionFromCrank_m(count, scale));
  }
  const scale =
    kind === 'force'
      ? { perCount: force.newton_per_count, zero_counts: force.zero_counts, bend: force.bend_per_N ?? 0 }
      : { perCount: position.metre_per_count, zero_counts, bend: position.bend_per_m ?? 0 };
  const values = new Float64Array(counts.length);
  for (let i = 0; i < values.length; i++) values[i] = quantityOf(counts[i]!, scale);
  return values;
}
