import { deadStroke_mm } from './dead-stroke.js';
import type { ConverterKernel } from './force-converter.js';
import { simulatedRigCalibration } from './owned-rig.js';
import { dropForFlow_Pa, pistonFlow } from './piston-flow.js';
import type { MountedShock } from './remount.js';
import type { RigHardware } from './rig-hardware.js';
import { annulus_m2, atmosphere_Pa, shaft_m2 } from './shock-parameters.js';
import { shownExponent } from './trapped-gas.js';

/** What a perfect analysis would report of the shock now mounted. For tests and honesty checks, never for a fit. */
export interface PlayedTruth {
  /** Sliding level at mid-stroke and gas pressure, magnitudes. Drag that follows the damping's own pressure counts as damping. */
  readonly drag: { readonly mean_N: number; readonly compression_N: number; readonly rebound_N: number };
  /** Level at zero speed, mean of the directions. */
  readonly breakaway_N: number;
  /** At the stroke's start, with the preload of the mount and the error of the owner's zero; rate at mid-stroke. */
  readonly gas: { readonly offset_N: number; readonly rate_N_per_mm: number };
  /** Delay beyond the kernel's own. */
  readonly lag_ms: number;
  readonly kernel: ConverterKernel;
  readonly movingMass_kg: number;
  /** True period of a force conversion. */
  readonly conversion_s: number;
  /** Largest damping force in compression at mid-stroke, as long as no void presses the gas together. */
  readonly ceiling_N: number;
  /**
   * Damping force alone, signed like the velocity.
   * @param velocity_m_per_s compression positive
   * @param oil_degC oil temperature
   */
  damping_N(velocity_m_per_s: number, oil_degC: number): number;
  /** Travel after a reversal at which damping has reached half, at a crank speed; 0 without air in the oil. */
  deadStroke_mm(crank_rev_per_s: number): number;
}

/**
 * Computes the truth about a mounted shock from its physics.
 * @param mounted what is on the rig
 * @param hardware what it is mounted in
 * @param crank_rev_per_s crank speed at which the gas is judged, since its exponent depends on it
 */
export function truthOf(mounted: MountedShock, hardware: RigHardware, crank_rev_per_s = 1): PlayedTruth {
  const { shock, offset_m, preload_N } = mounted;
  const shaft = shaft_m2(shock);
  const annulus = annulus_m2(shock);
  const middle_m = offset_m + hardware.crank.radius_m;
  const exponent = shownExponent(shock.gas.relaxation_s, crank_rev_per_s);

  const kelvin = 273.15;
  const warmth = (mounted.start_degC + kelvin) / (25 + kelvin);
  const gasMiddle_m3 = shock.gas.volume_m3 - shaft * middle_m;
  const gasMiddle_Pa = (shock.gas.pressure_Pa * warmth * shock.gas.volume_m3) / gasMiddle_m3;
  /** The gas swings about its isothermal pressure at mid-stroke with the exponent of this crank speed. */
  function gasAt_Pa(position_m: number): number {
    return gasMiddle_Pa * (gasMiddle_m3 / (shock.gas.volume_m3 - shaft * position_m)) ** exponent;
  }
  const gasForce_N = (position_m: number) => (gasAt_Pa(position_m) - atmosphere_Pa) * shaft;
  const rate_N_per_m = (exponent * gasMiddle_Pa * shaft * shaft) / gasMiddle_m3;

  const pressed_N = shock.seal.energised_N_per_Pa * Math.max(0, gasMiddle_Pa - atmosphere_Pa);
  const compression_N = shock.seal.sliding_N.compression + pressed_N;
  const rebound_N = shock.seal.sliding_N.rebound + pressed_N;
  const mean_N = (compression_N + rebound_N) / 2;
  const largestDrop_Pa = gasMiddle_Pa - shock.release_Pa;

  return {
    drag: { mean_N, compression_N, rebound_N },
    breakaway_N: mean_N * shock.seal.breakawayRatio,
    gas: {
      offset_N: gasForce_N(offset_m) + preload_N + zeroError_N(hardware),
      rate_N_per_mm: rate_N_per_m / 1000,
    },
    lag_ms: hardware.cell.lowPass_s * 1000,
    kernel: hardware.cell.kernel,
    movingMass_kg: shock.movingMass_kg,
    deadStroke_mm: (speed) => deadStroke_mm(shock, hardware.crank.radius_m, speed),
    conversion_s: 1 / (hardware.cell.declared_Hz * (1 + hardware.cell.rateError)),
    ceiling_N: largestDrop_Pa * annulus,
    damping_N(velocity_m_per_s, oil_degC) {
      const flow = pistonFlow(shock.piston, shock.bore_m, shock.oil, oil_degC);
      const wanted_Pa = dropForFlow_Pa(flow, (annulus - flow.gapDrag_m2) * velocity_m_per_s, 1);
      const drop_Pa = Math.min(wanted_Pa, largestDrop_Pa);
      // Oil and seal resist with speed too, and rebound presses the seal harder by its own pressure.
      const viscous_N = (flow.gapShear_Ns_per_m + shock.seal.viscous_Ns_per_m) * velocity_m_per_s;
      const gauge_Pa = gasMiddle_Pa - drop_Pa - atmosphere_Pa;
      const pressedMore_N = shock.seal.energised_N_per_Pa * Math.max(0, gauge_Pa) - pressed_N;
      return drop_Pa * (annulus - flow.gapDrag_m2) + viscous_N + Math.sign(velocity_m_per_s) * pressedMore_N;
    },
  };
}

/** Nothing at the shaft tells gas from a wrong zero, so the offset holds both. */
function zeroError_N({ cell }: RigHardware): number {
  return (cell.zero_counts - simulatedRigCalibration.force.zero_counts) / cell.counts_per_N;
}
