import { expect, it } from 'vitest';
import { expectDragAsPlayed } from './expect-drag.js';
import { playLadder } from './played/recording.js';

const damping = { linear: 22, quadratic: 0 };

it('a seal that breaks away with no more than it slides with is never said to break away with less', () => {
  for (const seed of [3, 6, 18]) {
    const change = <Shock>(drawn: Shock) => ({
      ...drawn,
      breakawayRatio: 1,
      compression: damping,
      rebound: { ...damping, linear: 24 },
    });
    const { friction } = expectDragAsPlayed(playLadder(seed, { rate_Hz: 320, change }));
    expect(friction.breakaway_N).toBeNull();
  }
});

it('a seal that breaks away with half a percent more than it slides with has its drag as played', () => {
  for (const seed of [121, 129, 137])
    expectDragAsPlayed(
      playLadder(seed, { rate_Hz: 900, change: (drawn) => ({ ...drawn, breakawayRatio: 1.0045 }) }),
    );
});
