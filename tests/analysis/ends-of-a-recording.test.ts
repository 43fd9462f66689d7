import { describe, expect, it } from 'vitest';
import { analyzeRecording } from '../../analysis/index.js';
import { playLadder } from './played/recording.js';

describe('a recording that begins and ends in the middle of a stroke', () => {
  const { trace, shock, rig } = playLadder(1, { rate_Hz: 400 });
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.code);
  const { analysis } = outcome;

  it('leaves nothing but its noise', () => {
    // White noise, wander and hum of that amplitude.
    const noise_N = Math.hypot(rig.whiteNoise_N, rig.colouredNoise_N * Math.sqrt(1.5));
    expect(analysis.residual_N).toBeLessThan(1.06 * noise_N);
  });

  it('gives the lag to a tenth of a millisecond, and the mean drag to a thousandth', () => {
    expect(Math.abs(analysis.rig.lag_ms!.value - 1e3 * rig.lag_s)).toBeLessThan(0.1);
    const mean_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
    expect(Math.abs(analysis.friction.mean_N!.value / mean_N - 1)).toBeLessThan(1e-3);
  });
});

describe('plain sampling at a high rate', () => {
  it.each([105, 123])('is not taken for averaging (seed %i)', (seed) => {
    const outcome = analyzeRecording(playLadder(seed, { rate_Hz: 1000 }).trace);
    expect(outcome.ok && outcome.analysis.rig.kernel).toBe('none');
  });
});
