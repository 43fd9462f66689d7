import { describe, expect, it } from 'vitest';
import { onsetAt, withOnsets } from '../../analysis/identification/onsets.js';
import { findRests } from '../../analysis/identification/rests.js';
import { analyzeRecording } from '../../analysis/index.js';
import { randomFrom } from './played/random.js';
import { playLadder } from './played/recording.js';

const rate_Hz = 320;
const noise_m = 5e-6;

/** Still at 2 mm, then away with a ramp from `leaves_s` on, as a sensor with noise sees it. */
function record(leaves_s: number, ramp_s: number, speed_m_per_s: number, seed: number) {
  const random = randomFrom(seed);
  const time_s = Float64Array.from({ length: 1600 }, (_, i) => i / rate_Hz);
  const path = (t: number) => (t < 0 ? 0 : t < ramp_s ? (t * t) / 2 / ramp_s : t - ramp_s / 2);
  const truth_m = time_s.map((t) => 2e-3 + speed_m_per_s * path(t - leaves_s));
  return { time_s, truth_m, position_m: truth_m.map((x) => x + noise_m * random.normal()) };
}

describe('the end of a rest', () => {
  it.each([
    [1e-3, 0],
    [4e-3, 0.015],
    [20e-3, 0.1],
    [-8e-3, 0.03],
  ])(
    'is where the shaft leaves it, not where it has left the noise: %f m/s after a ramp of %f s',
    (speed, ramp) => {
      const errors_s: number[] = [];
      const offs_m: number[] = [];
      for (let seed = 1; seed <= 20; seed++) {
        const { time_s, truth_m, position_m } = record(3.1234, ramp, speed, seed);
        const rests = withOnsets(
          time_s,
          position_m,
          findRests(time_s, position_m, noise_m, Math.abs(speed)),
          noise_m,
        );
        const { departure } = rests.at(-1)!;
        expect(departure).not.toBeNull();
        errors_s.push(departure!.at_s - 3.1234);
        for (let i = 0; i < time_s.length; i++)
          if (time_s[i]! > departure!.at_s && time_s[i]! < departure!.until_s)
            offs_m.push(onsetAt(departure!, time_s[i]!).position_m - truth_m[i]!);
      }
      const mean_s = errors_s.reduce((a, b) => a + b, 0) / errors_s.length;
      // Where 5 µm of noise cross a steady speed is a matter of some milliseconds at 1 mm/s, and less when faster.
      expect(Math.abs(mean_s)).toBeLessThan(Math.max(2e-3, 0.1 * ramp + (1.5 * noise_m) / Math.abs(speed)));
      const rms_m = Math.sqrt(offs_m.reduce((a, b) => a + b * b, 0) / offs_m.length);
      expect(rms_m).toBeLessThan(0.6 * noise_m);
    },
  );

  it('is not in its middle, where chance or a knock took two samples out of the noise', () => {
    const { time_s, position_m } = record(4.5, 0, 5e-3, 3);
    const knocked = position_m.slice();
    for (const i of [500, 501, 900, 901]) knocked[i]! += 4.5 * noise_m;
    const rests = findRests(time_s, knocked, noise_m, 5e-3);
    expect(rests.filter(({ from_s }) => from_s < 4.5)).toHaveLength(1);
    expect(rests[0]!.to_s - rests[0]!.from_s).toBeGreaterThan(4.3);
  });
});

describe('a slow turn on a coarse sensor', () => {
  it('is no rest, though its readings stand on three steps for a tenth of a second', () => {
    const { trace, rig } = playLadder(60226);
    const outcome = analyzeRecording(trace);
    // White noise, wander and hum of that amplitude; taken for rests, such turns left ten times that.
    const noise_N = Math.hypot(rig.whiteNoise_N, rig.colouredNoise_N * Math.sqrt(1.5));
    expect(outcome.ok && outcome.analysis.residual_N).toBeLessThan(1.25 * noise_N);
  });
});
