import type { ForceCurve } from '../curves/force-curve.js';
import { curveReader } from '../curves/read-curve.js';
import type { Corner } from './corner.js';
import type { Standing } from './standing.js';

/** A viscous damper that takes as much work from a sinusoidal stroke as the shock does, N·s/m at the shock. */
export interface EquivalentDamping {
  /** Peak speed of the stroke. */
  readonly speed_m_per_s: number;
  readonly compression: number;
  readonly rebound: number;
  /** Of the damping alone; what is left is drag's. */
  readonly damping: number;
  readonly drag: number;
  readonly total: number;
  readonly extrapolated: boolean;
}

const parts = 256;

/**
 * Equivalent viscous damping of a measured curve and drag at a peak speed.
 * @returns for c·v the c itself, for drag F 4·F/(π·V), for q·v² 8·q·V/(3π); null where a direction was not measured
 * Numerical notes: (2/(π·V))·∫ F(V·sin θ)·sin θ dθ over each half stroke, by the midpoint rule
 * Source: equal work per cycle, any vibration text (Rao, *Mechanical Vibrations*, ch. 3; Thomson, §3.9, from memory)
 */
export function equivalentDamping(
  damping: ForceCurve,
  drag_N: Corner['drag_N'],
  speed_m_per_s: number,
): EquivalentDamping | null {
  const read = curveReader(damping);
  const [ahead, back] = [read(speed_m_per_s), read(-speed_m_per_s)];
  if (!ahead || !back) return null;
  const half = (sign: 1 | -1) => {
    let sum = 0;
    for (let i = 0; i < parts; i++) {
      const sine = Math.sin((Math.PI * (i + 0.5)) / parts);
      sum += Math.abs(read(sign * speed_m_per_s * sine)!.force_N) * sine;
    }
    return ((2 / (Math.PI * speed_m_per_s)) * sum * Math.PI) / parts;
  };
  const ofDrag = (force_N: number) => (4 * force_N) / (Math.PI * speed_m_per_s);
  const [compression, rebound] = [half(1), half(-1)];
  const drag = ofDrag((drag_N.compression + drag_N.rebound) / 2);
  return {
    speed_m_per_s,
    compression: compression + ofDrag(drag_N.compression),
    rebound: rebound + ofDrag(drag_N.rebound),
    damping: (compression + rebound) / 2,
    drag,
    total: (compression + rebound) / 2 + drag,
    extrapolated: ahead.extrapolated || back.extrapolated,
  };
}

/** Damping at the wheel over critical damping, by the shock's peak speed. */
export interface DampingRatio {
  readonly speed_m_per_s: number;
  readonly compression: number;
  readonly rebound: number;
  readonly total: number;
  /** Share of the total that is drag's. */
  readonly dragShare: number;
  readonly extrapolated: boolean;
}

/** Damping ratios of a standing corner at several peak speeds of its shock. */
export function dampingRatios(
  corner: Corner,
  standing: Standing,
  speeds_m_per_s: readonly number[],
): DampingRatio[] {
  const factor = standing.motionRatio ** 2 / standing.critical_Ns_per_m;
  return speeds_m_per_s.flatMap((speed): DampingRatio[] => {
    const equivalent = equivalentDamping(corner.damping, corner.drag_N, speed);
    if (!equivalent) return [];
    const { compression, rebound, total, drag, extrapolated } = equivalent;
    return [
      {
        speed_m_per_s: speed,
        compression: compression * factor,
        rebound: rebound * factor,
        total: total * factor,
        dragShare: drag / total,
        extrapolated,
      },
    ];
  });
}

/**
 * Damping ratio from two peaks of a free decay.
 * @param ratio the first peak over the second, > 1
 * @param cycles between them; ½ from a peak to the next trough
 * Source: logarithmic decrement δ = ln(ratio)/cycles, ζ = δ/√(4π² + δ²) (Rao, *Mechanical Vibrations*, ch. 2)
 */
export function dampingRatioOfDecay(ratio: number, cycles: number): number {
  const decrement = Math.log(ratio) / cycles;
  return decrement / Math.hypot(2 * Math.PI, decrement);
}
