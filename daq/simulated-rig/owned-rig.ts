import type { Calibration } from '../calibration.js';
import { randomStream } from './random.js';
import type { RigHardware } from './rig-hardware.js';

/** The rig that the simulation plays when nothing else is asked, with nothing wrong with it. */
export const exactRig: RigHardware = {
  crank: { radius_m: 12e-3, rod_m: 60e-3 },
  drive: {
    softStart_rev_per_s2: 4,
    brake_rev_per_s2: 12,
    ripple: { once: 0, oncePhase_rad: 0, twice: 0, twicePhase_rad: 0 },
    wander: 0,
    wander_s: 3,
  },
  speedMin_rev_per_s: 0.02,
  speedMax_rev_per_s: 4,
  mount: { stiffness_N_per_m: 0, damping_Ns_per_m: 0, play_m: 0 },
  cell: {
    // A 10 kg cell of 1 mV/V on a 24-bit converter with gain 128.
    counts_per_N: 21_900,
    zero_counts: 41_000,
    bend_per_N: 0,
    counts_min: -8_388_608,
    counts_max: 8_388_607,
    kernel: 'sinc4',
    declared_Hz: 320,
    rateError: 0,
    lowPass_s: 0,
    declaredDelay_s: 20e-6,
    noise: { white_N: 0, slow_N: 0, hum_N: 0, hum_Hz: 50, drift_N_per_s: 0 },
  },
  position: {
    // A 60 mm potentiometer on 10 bits, 16 conversions summed.
    counts_per_m: 16_368 / 60e-3,
    zero_counts: 4_200,
    counts_max: 16_368,
    declared_Hz: 400,
    rateError: 0,
    declaredDelay_s: 416e-6,
    noise_m: 0,
    bow_m: 0,
    bowSpan_m: 60e-3,
  },
  temperature: {
    declared_Hz: 2,
    min_mdegC: -40_000,
    max_mdegC: 125_000,
    offset_K: 0,
    resolution_K: 0.0625,
    noise_K: 0,
  },
  room_degC: 23,
  gravity_m_per_s2: 9.8118,
  clockError: 0,
  stampLatency_s: 0,
  overload_N: 60,
};

/** What the owner of the simulated rig measured with a hanging weight and a calliper; wrong by a little, as such are. */
export const simulatedRigCalibration: Calibration = {
  force: { newton_per_count: 1 / exactRig.cell.counts_per_N, zero_counts: exactRig.cell.zero_counts },
  position: { metre_per_count: 1 / exactRig.position.counts_per_m, zero_counts: 4_000 },
};

/**
 * Draws a rig with the faults that hobby-built rigs have.
 * @param seed equal seeds give the same rig
 * @returns true values; `simulatedRigCalibration` is what its owner believes
 */
export function ownedRig(seed: number): RigHardware {
  const { uniform, normal } = randomStream(seed, 'rig');
  const { drive, cell, position, temperature } = exactRig;
  const phase = () => 2 * Math.PI * uniform();
  return {
    ...exactRig,
    drive: {
      ...drive,
      ripple: {
        once: 0.02 + 0.005 * normal(),
        oncePhase_rad: phase(),
        twice: 0.012 + 0.003 * normal(),
        twicePhase_rad: phase(),
      },
      wander: 0.004,
    },
    cell: {
      ...cell,
      counts_per_N: cell.counts_per_N * (1 + 5e-4 * normal()),
      zero_counts: cell.zero_counts + 300 * normal(),
      rateError: 2e-3 * normal(),
      lowPass_s: 0.5e-3 + 0.1e-3 * normal(),
      noise: {
        white_N: 4e-3,
        slow_N: 1.5e-3,
        hum_N: 6e-3,
        hum_Hz: 50,
        drift_N_per_s: 3e-5 * normal(),
      },
    },
    position: {
      ...position,
      counts_per_m: position.counts_per_m * (1 + 3e-4 * normal()),
      rateError: 2e-4 * normal(),
      noise_m: 5e-6,
      bow_m: 4e-6 * normal(),
    },
    temperature: { ...temperature, offset_K: 0.1 * normal(), noise_K: 0.03 },
    room_degC: 23 + 1.5 * normal(),
    clockError: 4e-5 * normal(),
    stampLatency_s: 14e-6,
  };
}
