import { describe, it } from 'vitest';
import { expectDragAsPlayed } from './expect-drag.js';
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
      expectDragAsPlayed(playLadder(seed, { rate_Hz: 320, change: (drawn) => ({ ...drawn, dragAlong }) }));
    }
  });
});
