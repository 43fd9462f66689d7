import { dropForFlow_Pa, flowForDrop_m3_per_s, type PistonFlow } from './piston-flow.js';
import { atmosphere_Pa, type SimulatedAir } from './shock-parameters.js';

/**
 * The oil between piston and seal: it gets its pressure from the flow through the piston, tears when pulled too
 * hard, and yields where there is air in it.
 */
export interface ShaftSide {
  /**
   * Moves the piston.
   * @param velocity_m_per_s compression positive
   * @param dt_s duration of the step
   * @param flow resistance of the piston
   * @param gas_Pa absolute pressure on the cap side
   * @returns pressure drop over the piston, Pa, positive in compression
   */
  step(velocity_m_per_s: number, dt_s: number, flow: PistonFlow, gas_Pa: number): number;
  /** Room taken by torn oil and bubbles beyond that at rest, m³; the cap's gas loses it. */
  readonly void_m3: number;
  /** Flow through the piston relative to it, m³/s, positive toward the shaft side. */
  readonly through_m3_per_s: number;
}

/**
 * Starts the shaft side of a shock at rest.
 * @param annulus_m2 bore area less shaft area
 * @param air bubbles and pocket
 * @param release_Pa absolute pressure at which gas comes out of the oil and holds the pressure there
 * @param gas_Pa absolute pressure everywhere at rest
 * @returns the shaft side with its state
 * Notes: without bubbles the pressure follows the flow at once and only a torn volume is state. With bubbles their
 *   volume is state, stepped by the exact solution of the equation linearised at the step's start, stable however
 *   small the bubbles.
 */
export function shaftSide(
  annulus_m2: number,
  air: SimulatedAir,
  release_Pa: number,
  gas_Pa: number,
): ShaftSide {
  const bubbles_Pa_m3 = air.bubbles_m3 * atmosphere_Pa;
  const bubblesAtRest_m3 = bubbles_Pa_m3 / gas_Pa;
  const now = { bubbles_m3: bubblesAtRest_m3, passed_m3: 0 };
  let wasForward = true;

  /** Share of oil in what passes the holes: first the pocket's air, then a mixture, then oil. */
  function oilShare(velocity: number): number {
    if (air.pocket_m3 === 0) return 1;
    const forward = velocity >= 0;
    if (forward !== wasForward) now.passed_m3 = 0;
    wasForward = forward;
    return Math.min(1, Math.max(0, now.passed_m3 / air.pocket_m3 - 0.5));
  }

  const side = {
    void_m3: 0,
    through_m3_per_s: 0,
    step(velocity: number, dt_s: number, flow: PistonFlow, gas: number): number {
      const swept = annulus_m2 * velocity;
      const dragged = flow.gapDrag_m2 * velocity;
      const share = oilShare(velocity);
      const drop =
        bubbles_Pa_m3 > 0
          ? stepBubbles(swept, dragged, share, dt_s, flow, gas)
          : stepSolid(swept, dragged, share, dt_s, flow, gas);
      if (air.pocket_m3 > 0) now.passed_m3 += Math.abs(side.through_m3_per_s) * dt_s;
      return drop;
    },
  };

  function stepSolid(
    swept: number,
    dragged: number,
    share: number,
    dt_s: number,
    flow: PistonFlow,
    gas: number,
  ) {
    const largest = gas - release_Pa;
    if (side.void_m3 === 0) {
      const drop = dropForFlow_Pa(flow, swept - dragged, share);
      side.through_m3_per_s = swept;
      if (drop <= largest) return drop;
    }
    const through = flowForDrop_m3_per_s(flow, largest, share) + dragged;
    side.through_m3_per_s = through;
    side.void_m3 = Math.max(0, side.void_m3 + (swept - through) * dt_s);
    return largest;
  }

  function stepBubbles(
    swept: number,
    dragged: number,
    share: number,
    dt_s: number,
    flow: PistonFlow,
    gas: number,
  ) {
    const bubbles_m3 = now.bubbles_m3;
    const pressure = Math.max(release_Pa, bubbles_Pa_m3 / bubbles_m3);
    const drop = gas - pressure;
    const through = flowForDrop_m3_per_s(flow, drop, share) + dragged;
    // Conductance by a one-sided difference; it only shapes the step, so its own error is of second order.
    const nudge_Pa = 1 + 1e-4 * Math.abs(drop);
    const conductance = (flowForDrop_m3_per_s(flow, drop + nudge_Pa, share) + dragged - through) / nudge_Pa;
    const decay = (conductance * pressure * dt_s) / bubbles_m3;
    const weight = decay > 1e-6 ? -Math.expm1(-decay) / decay : 1;
    const grown_m3 = Math.max(1e-3 * bubblesAtRest_m3, bubbles_m3 + (swept - through) * dt_s * weight);
    now.bubbles_m3 = grown_m3;
    side.void_m3 = grown_m3 - bubblesAtRest_m3;
    // The mean flow of the step, not that at its start: what passed and what stayed then add up.
    side.through_m3_per_s = swept - (grown_m3 - bubbles_m3) / dt_s;
    return gas - Math.max(release_Pa, bubbles_Pa_m3 / grown_m3);
  }
  return side;
}
