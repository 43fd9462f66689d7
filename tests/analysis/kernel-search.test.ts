import { describe, expect, it } from 'vitest';
import {
  type Candidate,
  inTheRunning,
  lagSpread,
  likeliest,
} from '../../analysis/identification/kernel-search.js';
import type { Recording } from '../../analysis/identification/problem-grids.js';
import type { KernelName } from '../../analysis/index.js';

const recording = { period_s: 12.5e-3 } as Recording;
const candidate = (kernel: KernelName, rss: number, lag_s = 2e-3) =>
  ({ kernel, stride: 4, fit: { rss, shape: { lag_s } } }) as Candidate;
const names = (candidates: readonly Candidate[]) => candidates.map(({ kernel }) => kernel);

describe('the choice of a kernel', () => {
  it('is plain sampling unless averaging clearly explains more', () => {
    const choice = (plain: number) =>
      likeliest(
        [candidate('none', plain), candidate('one-conversion', 1.1), candidate('sinc3', 1)],
        recording,
      );
    expect(choice(1.07)!.kernel).toBe('none');
    expect(choice(1.09)!.kernel).toBe('sinc3');
  });

  it('asks more of an averaging that needs the force ahead of its motion', () => {
    const choice = (lag_s: number, plain: number) =>
      likeliest([candidate('none', plain), candidate('sinc4', 1, lag_s)], recording)!.kernel;
    expect(choice(-2.4e-3, 1.3)).toBe('sinc4');
    expect(choice(-2.6e-3, 1.3)).toBe('none');
    expect(choice(-2.6e-3, 1.6)).toBe('sinc4');
  });

  it('needs no more samples for kernels that are surely out, nor for others where plain sampling surely stands', () => {
    const near = (plain: number) => [
      candidate('none', plain),
      candidate('one-conversion', 1.25),
      candidate('sinc3', 1),
      candidate('sinc4', 1.4),
    ];
    expect(names(inTheRunning(near(1.2)))).toEqual(['none', 'one-conversion', 'sinc3']);
    expect(names(inTheRunning(near(1.7)))).toEqual(['none', 'one-conversion', 'sinc3']);
    expect(names(inTheRunning(near(1.9)))).toEqual(['one-conversion', 'sinc3']);
    expect(names(inTheRunning(near(1.02)))).toEqual(['none', 'sinc3']);
    expect(names(inTheRunning(near(0.98)))).toEqual(['none']);
    expect(inTheRunning([])).toEqual([]);
    expect(likeliest([], recording)).toBeNull();
  });

  it('leaves in the lag what kernels that explain about as much give to their own delay', () => {
    const alike = [candidate('none', 1.1, 30e-3), candidate('sinc4', 1, 5e-3)];
    expect(lagSpread(alike, 'sinc4')).toBeCloseTo(25e-3 / 2 / Math.sqrt(3), 12);
    expect(lagSpread([candidate('none', 1.2, 30e-3), candidate('sinc4', 1, 5e-3)], 'sinc4')).toBe(0);
  });
});
