import type { RandomStream } from './random.js';
import type { RigHardware } from './rig-hardware.js';

/**
 * The device's stamps: its own clock, the delay it declares, an interrupt's latency, whole microseconds.
 * @param hardware clock error and latency
 * @param random draws the latency
 * @returns stamp in µs, not wrapped, of a true instant `since_s` after the clock's start
 */
export function stamps(
  hardware: RigHardware,
  random: RandomStream,
): (since_s: number, delay_s: number) => number {
  const rate = 1 + hardware.clockError;
  return (since_s, delay_s) =>
    Math.round(1e6 * (since_s * rate + delay_s + hardware.stampLatency_s * random.uniform()));
}
