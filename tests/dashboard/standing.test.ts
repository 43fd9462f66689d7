import { describe, expect, it } from 'vitest';
import type { SlowSweep } from '../../analysis/index.js';
import { standingStarts } from '../../dashboard/answers/index.js';
import { standingSentence } from '../../dashboard/wording/index.js';

type Start = SlowSweep['starts'][number];

const start = (dwell_s: number, excess_N: number, of: Partial<Start> = {}): Start => ({
  dwell_s,
  excess_N,
  velocity_mm_per_s: 7,
  direction: 'compression',
  ...of,
});

/** Starts without standing: of two directions and two speeds, each with its own level and 0.01 N of scatter. */
const turned = [0.2, 0.21, 0.19].flatMap((excess_N) => [
  start(0.02, excess_N),
  start(0.05, excess_N + 0.2, { direction: 'rebound' }),
  start(0.01, excess_N - 0.15, { velocity_mm_per_s: 40 }),
]);

const told = (...stood: Start[]) =>
  standingStarts({ dragAlong: [], dragAtSpeed: [], starts: [...turned, ...stood] });

describe('starts of a slow sweep after the shaft has stood', () => {
  it('are held against those without standing, in their direction and at their speed', () => {
    const [one, thirty] = told(start(30, 0.3), start(1, 0.6, { direction: 'rebound' }));
    expect([one!.stood_s, thirty!.stood_s]).toEqual([1, 30]);
    expect(one!.more_N.value).toBeCloseTo(0.2, 6);
    expect(thirty!.more_N.value).toBeCloseTo(0.1, 6);
    // 0.01 N of scatter with six degrees of freedom, one start against the mean of three: t = 2.447 (NIST, 1.3.6.7.2).
    expect(thirty!.more_N.high95 - thirty!.more_N.value).toBeCloseTo(2.447 * 0.01 * Math.sqrt(4 / 3), 4);
    expect(standingSentence([one!, thirty!])).toBe(
      'After standing for 30 s a start takes 0.30 N beyond sliding, 0.100 ± 0.028 N more than without standing: it sticks when it has stood.',
    );
  });

  it('that take no more than others are told as such, with what would have shown', () => {
    expect(standingSentence(told(start(30, 0.21)))).toBe(
      'After standing for 30 s a start takes 0.21 N beyond sliding, as without standing: more than 0.038 N of it would have shown.',
    );
  });

  it('are left out where nothing of their kind is there to hold them against', () => {
    expect(told(start(30, 0.3, { velocity_mm_per_s: 15 }))).toEqual([]);
    expect(
      standingStarts({ dragAlong: [], dragAtSpeed: [], starts: [start(30, 0.3), start(0, 0.2)] }),
    ).toEqual([]);
    expect(standingSentence([])).toBeNull();
  });
});
