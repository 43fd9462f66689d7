import { describe, expect, it } from 'vitest';
import { judgeCheck } from '../../../analysis/control/index.js';
import { randomFrom } from '../played/random.js';

const values = (numbers: readonly number[]) => numbers.map((value) => ({ value, standardError: 0 }));

/** Sittings of a rig that is as it was, and then moves by `drift` standard deviations a sitting. */
function sittings(count: number, seed: number, drift = 0, from = 10): number[] {
  const { normal } = randomFrom(seed);
  return Array.from({ length: count }, (_, i) => 1.5 + 0.003 * (normal() + drift * Math.max(0, i - from)));
}

describe('the judgement of a check standard', () => {
  it('learns until it has four sittings', () => {
    expect(judgeCheck(values([1.5]))).toMatchObject({ verdict: 'learning', sittingsToGo: 3, limits: null });
    expect(judgeCheck(values([1.5, 1.51, 1.49]))).toMatchObject({ verdict: 'learning', sittingsToGo: 1 });
    expect(judgeCheck(values([1.5, 1.51, 1.49, 1.5])).verdict).toBe('steady');
  });

  it('seldom alarms while nothing changes', () => {
    let alarms = 0;
    let judged = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const history = sittings(25, seed);
      for (let n = 4; n <= history.length; n++) {
        judged++;
        if (judgeCheck(values(history.slice(0, n))).verdict !== 'steady') alarms++;
      }
    }
    expect(alarms / judged).toBeLessThan(0.03);
    expect(alarms).toBeGreaterThan(0);
  });

  it('sees a sudden change at once', () => {
    let seen = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const history = [...sittings(15, seed), 1.5 + 0.003 * 8];
      if (judgeCheck(values(history)).verdict === 'outside') seen++;
    }
    expect(seen).toBeGreaterThan(95);
  });

  it('warns of a drift by its average before a single value leaves the limits', () => {
    let early = 0;
    let noticed = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const history = sittings(40, seed, 0.25);
      for (let n = 12; n <= history.length; n++) {
        const { verdict } = judgeCheck(values(history.slice(0, n)));
        if (verdict === 'steady') continue;
        noticed++;
        if (verdict === 'drifting') early++;
        break;
      }
    }
    expect(noticed).toBeGreaterThan(95);
    expect(early / noticed).toBeGreaterThan(0.7);
  });

  it('does not let a drift move its own limits', () => {
    const history = [...sittings(10, 3), ...Array.from({ length: 30 }, (_, i) => 1.5 + 0.001 * (i + 1))];
    const { limits, verdict } = judgeCheck(values(history));
    expect(limits!.centre).toBeCloseTo(1.5, 2);
    expect(verdict).toBe('outside');
  });

  it('does not call a value outside that its own uncertainty explains', () => {
    const history = [1.5, 1.5, 1.5, 1.5, 1.502];
    expect(judgeCheck(values(history)).verdict).toBe('outside');
    expect(judgeCheck(history.map((value) => ({ value, standardError: 0.002 }))).verdict).toBe('steady');
  });
});
