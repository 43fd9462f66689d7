import type { CrankGeometry, DriveBehaviour } from './crank-drive.js';
import type { ConverterKernel } from './force-converter.js';

/** The simulated rig itself: crank, mounts, sensors and their faults. True values, not what its owner believes. */
export interface RigHardware {
  readonly crank: CrankGeometry;
  readonly drive: DriveBehaviour;
  readonly speedMin_rev_per_s: number;
  readonly speedMax_rev_per_s: number;
  readonly mount: RigMount;
  readonly cell: ForceChannel;
  readonly position: PositionChannel;
  readonly temperature: TemperatureChannel;
  readonly room_degC: number;
  /** Free fall where the rig stands, m/s². */
  readonly gravity_m_per_s2: number;
  /** Relative error of the device's clock. */
  readonly clockError: number;
  /** Largest latency between an instant and its stamp, s. */
  readonly stampLatency_s: number;
  /** Cell load at which the device stops the drive, N. */
  readonly overload_N: number;
}

/** How the moving eye hangs on the slide; stiffness 0 stands for rigid. */
export interface RigMount {
  readonly stiffness_N_per_m: number;
  readonly damping_Ns_per_m: number;
  /** Free travel in the eyes. */
  readonly play_m: number;
}

export interface ForceChannel {
  readonly counts_per_N: number;
  readonly zero_counts: number;
  /** Departure from a straight line: the cell gives F·(1 + bend·F). */
  readonly bend_per_N: number;
  readonly counts_min: number;
  readonly counts_max: number;
  readonly kernel: ConverterKernel;
  /** Conversion rate that the device declares, and by how much the true one differs. */
  readonly declared_Hz: number;
  readonly rateError: number;
  /** Time constant of the wiring's low-pass in front of the converter; it shows as lag. */
  readonly lowPass_s: number;
  /** Constant delay of the stamp that the device declares and corrects for, s. */
  readonly declaredDelay_s: number;
  readonly noise: ForceNoise;
}

export interface ForceNoise {
  /** White noise per conversion at 320 conversions a second; grows with the root of the rate. */
  readonly white_N: number;
  /** Standard deviation of each of three slow noises with correlation times 0.1, 1 and 10 s. */
  readonly slow_N: number;
  readonly hum_N: number;
  readonly hum_Hz: number;
  /** Steady drift of the zero, N/s. */
  readonly drift_N_per_s: number;
}

export interface PositionChannel {
  readonly counts_per_m: number;
  /** Counts at the crank's outer dead centre. */
  readonly zero_counts: number;
  readonly counts_max: number;
  readonly declared_Hz: number;
  readonly rateError: number;
  readonly declaredDelay_s: number;
  readonly noise_m: number;
  /** Departure from a straight line: amplitude of one sine over this span. */
  readonly bow_m: number;
  readonly bowSpan_m: number;
}

export interface TemperatureChannel {
  readonly declared_Hz: number;
  readonly min_mdegC: number;
  readonly max_mdegC: number;
  readonly offset_K: number;
  readonly resolution_K: number;
  readonly noise_K: number;
}
