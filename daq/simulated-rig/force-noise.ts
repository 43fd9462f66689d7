import { type ConverterKernel, kernelGain } from './force-converter.js';
import type { RandomStream } from './random.js';
import type { ForceNoise } from './rig-hardware.js';

const correlation_s = [0.1, 1, 10];

/**
 * Everything the converter adds to the shock's force, as it appears in a conversion.
 * @param noise amplitudes
 * @param kernel the converter's filter, which weakens the mains hum
 * @param conversion_s true conversion period
 * @param random draws it
 * @returns for a conversion that ends at `time_s`, the force added, N
 * Notes: white noise is given per conversion, so it is not filtered again; the slow noises are slower than any kernel.
 */
export function forceNoise(
  noise: ForceNoise,
  kernel: ConverterKernel,
  conversion_s: number,
  random: RandomStream,
): (time_s: number) => number {
  const white_N = noise.white_N / Math.sqrt(320 * conversion_s);
  const hum_N = noise.hum_N * kernelGain(kernel, noise.hum_Hz, conversion_s);
  const humPhase = 2 * Math.PI * random.uniform();
  const keep = correlation_s.map((tau) => Math.exp(-conversion_s / tau));
  const kick = keep.map((kept) => noise.slow_N * Math.sqrt(1 - kept * kept));
  const slow = correlation_s.map(() => noise.slow_N * random.normal());

  return (time_s) => {
    let added = white_N * random.normal() + noise.drift_N_per_s * time_s;
    added += hum_N * Math.sin(2 * Math.PI * noise.hum_Hz * time_s + humPhase);
    for (let i = 0; i < slow.length; i++) {
      slow[i] = slow[i]! * keep[i]! + kick[i]! * random.normal();
      added += slow[i]!;
    }
    return added;
  };
}
