import { describe, expect, it } from 'vitest';
import { analyzeRecording } from '../../analysis/index.js';
import { playLadder } from './played/recording.js';

describe('drag that changes along the stroke', () => {
  it.each([
    ['evenly', (z: number) => 1 + 0.2 * z],
    ['and is highest at both ends', (z: number) => 1 + 0.1 * (3 * z * z - 1)],
  ])('%s: its mean over the stroke comes out within half a percent, and inside its interval', (_, along) => {
    for (const seed of [7001, 7004]) {
      const { position_m } = playLadder(seed, { rate_Hz: 320 }).trace.position;
      const [low_m, high_m] = [
        position_m.reduce((a, b) => Math.min(a, b)),
        position_m.reduce((a, b) => Math.max(a, b)),
      ];
      const dragAlong = (x: number) => along((2 * (x - low_m)) / (high_m - low_m) - 1);
      const { trace, shock } = playLadder(seed, {
        rate_Hz: 320,
        change: (drawn) => ({ ...drawn, dragAlong }),
      });
      const outcome = analyzeRecording(trace);
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      const truth_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
      const { value, low95, high95 } = outcome.analysis.friction.mean_N!;
      expect(Math.abs(value / truth_N - 1)).toBeLessThan(0.005);
      expect(low95).toBeLessThan(truth_N);
      expect(high95).toBeGreaterThan(truth_N);
    }
  });
});
