import type { Direction } from '../curves/force-curve.js';
import {
  gapConductance,
  gapDrag_m2,
  gapShear,
  holeFlow,
  holeLoss,
  holeResistance,
  holeReynolds,
} from './passages.js';
import { annulus_m2, type Piston } from './piston.js';

/** Oil at its temperature. */
export interface Fluid {
  readonly viscosity_m2_per_s: number;
  readonly density_kg_per_m3: number;
}

/** What calipers do not see. */
export interface PistonUnknowns {
  readonly gap_m: number;
  readonly eccentricity: number;
  /** Losses of the holes in velocity heads; a chamfer on one face makes the directions differ. */
  readonly loss: Readonly<Record<Direction, number>>;
}

export interface PistonForce {
  /** Damping, with the sign of the velocity. */
  readonly force_N: number;
  readonly drop_Pa: number;
  /** Share of the flow that goes round the piston instead of through its holes. */
  readonly leakShare: number;
  /** Of the hole with the largest. */
  readonly reynolds: number;
}

/** A shock whose cap side is held at gas pressure: piston, oil and unknowns as force over velocity and back. */
export interface PistonFlow {
  readonly force: (velocity_m_per_s: number) => PistonForce;
  /** Signed velocity at which a signed damping force arises. */
  readonly velocity_m_per_s: (force_N: number) => number;
}

interface Hole {
  readonly count: number;
  readonly diameter_m: number;
  readonly resistance: number;
  readonly loss: Readonly<Record<Direction, number>>;
}

/**
 * Computes how a piston damps.
 * @param piston a piston that `refusePiston` lets pass
 * @returns damping without drag, gas and ceiling
 * Numerical notes: the shaft side's volume changes by (A_bore − A_shaft)·v in both directions, part of it dragged
 *   through the gap by the bore's wall; the drop that drives the rest through holes and gap together is found by
 *   Newton's method from below, where a flow concave in the drop makes it converge without overshoot. The drop acts on
 *   the annulus less half the gap, since the gap's two walls share its load.
 * Source: see passages.ts for each passage; the balance is that of any oil dashpot (Massey & Ward-Smith, ex. 6.4)
 */
export function pistonFlow(piston: Piston, fluid: Fluid, unknowns: PistonUnknowns): PistonFlow {
  const viscosity_Pa_s = fluid.viscosity_m2_per_s * fluid.density_kg_per_m3;
  const length_m = piston.thickness_m - piston.countersunk_m;
  const { gap_m, eccentricity } = unknowns;
  const middle_m = piston.bore_m - gap_m;
  const drag_m2 = gapDrag_m2(middle_m, gap_m);
  const area_m2 = annulus_m2(piston) - drag_m2;
  const conductance = gapConductance(middle_m, gap_m, piston.thickness_m, viscosity_Pa_s, eccentricity);
  const shear = gapShear(middle_m, gap_m, piston.thickness_m, viscosity_Pa_s, eccentricity);
  const holes = piston.holes.map(({ count, diameter_m }): Hole => {
    const loss = (side: Direction) => holeLoss(diameter_m, unknowns.loss[side], fluid.density_kg_per_m3);
    return {
      count,
      diameter_m,
      resistance: holeResistance(diameter_m, length_m, viscosity_Pa_s),
      loss: { compression: loss('compression'), rebound: loss('rebound') },
    };
  });
  const laminar = holes.reduce((sum, { count, resistance }) => sum + count / resistance, conductance);

  function dropFor(through_m3_per_s: number, side: Direction): number {
    let drop = through_m3_per_s / laminar;
    for (let i = 0; i < 50; i++) {
      let flow = conductance * drop;
      let slope = conductance;
      for (const { count, resistance, loss } of holes) {
        const each = holeFlow(drop, resistance, loss[side]);
        flow += count * each;
        slope += count / (resistance + 2 * loss[side] * each);
      }
      const step = (through_m3_per_s - flow) / slope;
      drop += step;
      if (step <= 1e-14 * drop) break;
    }
    return drop;
  }

  const sideOf = (signed: number): Direction => (signed >= 0 ? 'compression' : 'rebound');

  return {
    force(velocity_m_per_s) {
      const side = sideOf(velocity_m_per_s);
      const speed = Math.abs(velocity_m_per_s);
      const through = area_m2 * speed;
      const drop_Pa = dropFor(through, side);
      const reynolds = holes.map(({ diameter_m, resistance, loss }) =>
        holeReynolds(holeFlow(drop_Pa, resistance, loss[side]), diameter_m, fluid.viscosity_m2_per_s),
      );
      return {
        force_N: Math.sign(velocity_m_per_s) * (drop_Pa * area_m2 + shear * speed),
        drop_Pa,
        leakShare: through > 0 ? (conductance * drop_Pa) / through : 0,
        reynolds: Math.max(...reynolds),
      };
    },
    velocity_m_per_s(force_N) {
      const side = sideOf(force_N);
      const wanted = Math.abs(force_N);
      const at = (speed: number) => dropFor(area_m2 * speed, side) * area_m2 + shear * speed;
      let high = wanted / (area_m2 ** 2 / laminar + shear);
      let low = 0;
      for (let i = 0; i < 200 && high - low > 1e-15 * high; i++) {
        const middle = (low + high) / 2;
        if (at(middle) < wanted) low = middle;
        else high = middle;
      }
      return (Math.sign(force_N) * (low + high)) / 2;
    },
  };
}
