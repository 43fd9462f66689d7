import type { ForceCurve } from '../curves/force-curve.js';
import { curvePointOf, estimateOf } from '../estimate.js';
import { type BlankPoint, unknownsOf } from './blank.js';
import { compressionCeiling_N, type HoleChange, type Piston, withHoles } from './piston.js';
import { pistonFlow } from './piston-flow.js';

/** Everything a predicted curve rests on; `modes` err by one standard error each. */
export interface PredictionBasis {
  readonly piston: Piston;
  readonly change: HoleChange;
  readonly density_kg_per_m3: number;
  readonly temperature_degC: number | null;
  readonly best: BlankPoint;
  readonly modes: readonly BlankPoint[];
  /** Standard uncertainty of a drilled hole's diameter. */
  readonly drilled_m: number;
}

export interface Prediction {
  readonly curve: ForceCurve;
  /** Largest Reynolds number in a hole. */
  readonly reynolds: number;
  /** Share of flow round the piston at the fastest speed. */
  readonly leakShare: number;
  /** True where compression asks for more than the atmosphere can push through the piston. */
  readonly aboveCeiling: boolean;
}

/** Damping at one velocity with the changed holes at a diameter. */
export function predictedForce_N(
  basis: Pick<PredictionBasis, 'piston' | 'change' | 'density_kg_per_m3'>,
  point: BlankPoint,
  hole_m: number,
): (velocity_m_per_s: number) => number {
  const piston = withHoles(basis.piston, basis.change, hole_m);
  const fluid = { viscosity_m2_per_s: Math.exp(point[0]), density_kg_per_m3: basis.density_kg_per_m3 };
  const { force } = pistonFlow(piston, fluid, unknownsOf(point));
  return (velocity_m_per_s) => force(velocity_m_per_s).force_N;
}

/**
 * The damping curve that a piston would have with its changed holes at a diameter.
 * @param velocities_m_per_s signed, by increasing value, none zero
 * @returns the curve with the band that blank, oil and drill leave
 */
export function predictCurve(
  basis: PredictionBasis,
  hole_m: number,
  velocities_m_per_s: readonly number[],
): Prediction {
  const nominal = predictedForce_N(basis, basis.best, hole_m);
  const erring = [
    ...basis.modes.map((mode) => predictedForce_N(basis, mode, hole_m)),
    predictedForce_N(basis, basis.best, hole_m + basis.drilled_m),
  ];
  const points = velocities_m_per_s.map((velocity_m_per_s) => {
    const force_N = nominal(velocity_m_per_s);
    const standardError_N = Math.hypot(...erring.map((force) => force(velocity_m_per_s) - force_N));
    return curvePointOf(velocity_m_per_s, estimateOf(force_N, standardError_N));
  });
  const piston = withHoles(basis.piston, basis.change, hole_m);
  const fluid = {
    viscosity_m2_per_s: Math.exp(basis.best[0]),
    density_kg_per_m3: basis.density_kg_per_m3,
  };
  const { force } = pistonFlow(piston, fluid, unknownsOf(basis.best));
  const ends = [velocities_m_per_s[0], velocities_m_per_s[velocities_m_per_s.length - 1]].map(force);
  return {
    curve: {
      kind: 'damping',
      points,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      temperature_degC: basis.temperature_degC,
      ceiling_N: null,
      origin: 'recording',
    },
    reynolds: Math.max(...ends.map(({ reynolds }) => reynolds)),
    leakShare: Math.max(...ends.map(({ leakShare }) => leakShare)),
    aboveCeiling: points[points.length - 1].force_N > compressionCeiling_N(basis.piston),
  };
}
