import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compareBuilds,
  costOfComparisons,
  type Difference,
  estimateOf,
  expectedResolution,
  holmAdjusted,
  judgeTogether,
  pairShocks,
  pooledSpread,
  pValueOf,
  remountsNeeded,
  resolvableDifference,
  rigResolution,
  smallestTolerance,
  spreadLimits,
} from '../../../analysis/index.js';
import { bothWays, lawCurve } from '../curves/law-curve.js';
import { randomFrom } from '../played/random.js';
import { remountOf } from './remount.js';

describe('a spread from few remounts', () => {
  it('is known within a factor of 0.6 to 2.9 from three and three', () => {
    const { low, high } = spreadLimits({ standardDeviation: 1, degreesOfFreedom: 4 });
    expect(low).toBeCloseTo(0.599, 3);
    expect(high).toBeCloseTo(2.874, 3);
  });

  it('is pooled around each build’s own mean', () => {
    const spread = pooledSpread([[1, 3], [11, 13, 15], [7]])!;
    expect(spread).toEqual({ standardDeviation: Math.sqrt((2 + 8) / 3), degreesOfFreedom: 3 });
    expect(pooledSpread([[1], [2]])).toBeNull();
  });
});

describe('the difference that remounts resolve', () => {
  it('is 3.07 standard deviations with three and three, less with more', () => {
    expect(resolvableDifference(1, 3)).toBeCloseTo(3.07, 2);
    expect(resolvableDifference(1, 8)).toBeLessThan(0.5 * resolvableDifference(1, 3));
    expect(resolvableDifference(1, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(resolvableDifference(1, 1, {}, 20)).toBeLessThan(5);
  });

  it('is found in four of five simulated comparisons of that size, and an absent one in one of twenty', () => {
    const random = randomFrom(5);
    const remounts = 4;
    const counts = [0, 1].map((scale) => {
      const shift = scale * resolvableDifference(0.02, remounts);
      let resolved = 0;
      for (let i = 0; i < 1500; i++) {
        const side = (offset: number) =>
          Array.from({ length: remounts }, () => remountOf(1 + offset + 0.02 * random.normal()));
        const [drag] = compareBuilds(side(0), side(shift)).differences;
        if (drag!.verdict !== 'not-resolved') resolved++;
      }
      return resolved / 1500;
    });
    expect(counts[0]).toBeGreaterThan(0.035);
    expect(counts[0]).toBeLessThan(0.065);
    expect(counts[1]).toBeGreaterThan(0.77);
    expect(counts[1]).toBeLessThan(0.83);
  });

  it('is planned with the upper limit of the spread', () => {
    const plan = remountsNeeded(0.05, { standardDeviation: 0.02, degreesOfFreedom: 4 });
    expect(plan.withMeasuredSpread).toBe(4);
    expect(plan.remounts).toBeGreaterThan(15);
    expect(plan.upperSpread).toBeCloseTo(0.0575, 4);
    expect(resolvableDifference(plan.upperSpread, plan.remounts!)).toBeLessThanOrEqual(0.05);
    expect(resolvableDifference(plan.upperSpread, plan.remounts! - 1)).toBeGreaterThan(0.05);
    expect(remountsNeeded(1e-4, { standardDeviation: 0.02, degreesOfFreedom: 4 }).remounts).toBeNull();
  });
});

describe('several differences at once', () => {
  it('have the adjusted p-values of a worked case: 0.01, 0.04, 0.03, 0.005 become 0.03, 0.06, 0.06, 0.02', () => {
    const adjusted = holmAdjusted([0.01, 0.04, 0.03, 0.005]);
    [0.03, 0.06, 0.06, 0.02].forEach((wanted, i) => {
      expect(adjusted[i]).toBeCloseTo(wanted, 12);
    });
  });

  it('never get smaller p-values, keep their order and stay below one', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 12 }),
        (p) => {
          const adjusted = holmAdjusted(p);
          return adjusted.every(
            (value, i) =>
              value >= p[i]! &&
              value <= 1 &&
              p.every((other, j) => (other < p[i]! ? adjusted[j]! <= value : true)),
          );
        },
      ),
    );
  });

  it('agree with the interval: p is 5 % where the interval just touches zero', () => {
    for (const df of [2, 4, 17, Number.POSITIVE_INFINITY]) {
      const half = estimateOf(0, 1, df).high95;
      expect(pValueOf(estimateOf(half, 1, df))).toBeCloseTo(0.05, 4);
    }
  });

  it('raise a false alarm in at most one family of twenty', () => {
    const random = randomFrom(11);
    let alarms = 0;
    for (let family = 0; family < 1000; family++) {
      const differences = Array.from({ length: 8 }, (): Difference => {
        const difference = estimateOf(random.normal(), 1);
        return {
          quantity: 'friction_N',
          before: difference,
          after: difference,
          difference,
          verdict: 'not-resolved',
          resolvable: 1,
          spread: { standardDeviation: 0.04, degreesOfFreedom: 4, basis: 'remounts' },
        };
      });
      if (judgeTogether(differences).some(({ familyVerdict }) => familyVerdict !== 'not-resolved')) alarms++;
    }
    expect(alarms / 1000).toBeLessThan(0.065);
    expect(alarms / 1000).toBeGreaterThan(0.03);
  });

  it('cost power: ten at once need a difference about 1.9 times as large with three remounts a side', () => {
    expect(costOfComparisons(1, 4)).toBe(1);
    // Non-central t of SciPy 1.10: 7.055574 against 3.761060 standard errors.
    expect(costOfComparisons(10, 4)).toBeCloseTo(7.055574 / 3.76106, 4);
    expect(costOfComparisons(10, 60)).toBeCloseTo(1.3251, 3);
  });
});

describe('the best pairs of four shocks', () => {
  const shock = (label: string, scale: number, error = 0.002) => ({
    label,
    curve: lawCurve(bothWays(30 * scale, 40 * scale), {
      error: { linear: 30 * error, quadratic: 40 * error },
    }),
  });

  it('are the ones that match, best first', () => {
    const outcome = pairShocks([shock('a', 1), shock('b', 1.09), shock('c', 1.01), shock('d', 1.12)]);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    expect(outcome.pairing.pairs.map(({ labels }) => labels)).toEqual([
      ['a', 'c'],
      ['b', 'd'],
    ]);
    expect(outcome.pairing.pairs[0]!.mismatch_percent).toBeCloseTo(0.995, 2);
    expect(outcome.pairing.matches).toHaveLength(6);
  });

  it('are told apart only where the measurement can', () => {
    const apart = (error: number) => {
      const outcome = pairShocks([shock('a', 1, error), shock('b', 1.03, error)]);
      return outcome.ok && outcome.pairing.pairs[0]!.toldApart;
    };
    expect(apart(0.002)).toBe(true);
    expect(apart(0.03)).toBe(false);
  });

  it('weigh all pairs together, not the best pair alone', () => {
    const outcome = pairShocks([shock('a', 1), shock('b', 1.02), shock('c', 1.03), shock('d', 1.06)]);
    if (!outcome.ok) throw new Error();
    expect(outcome.pairing.pairs.map(({ labels }) => labels).sort()).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ]);
  });

  it('need an even set of one kind', () => {
    const odd = pairShocks([shock('a', 1), shock('b', 1), shock('c', 1)]);
    expect(odd.ok ? 'paired' : odd.refusal.code).toBe('odd-set');
    const total = { label: 'b', curve: { ...shock('b', 1).curve, kind: 'total' as const } };
    const mixed = pairShocks([shock('a', 1), total]);
    expect(mixed.ok ? 'paired' : mixed.refusal.code).toBe('different-kinds');
  });
});

describe('what a rig can resolve', () => {
  it('comes from remounts of an unchanged build, quantity by quantity', () => {
    const [drag] = rigResolution([0.98, 1, 1.02].map((value) => remountOf(value)));
    expect(drag!.quantity).toBe('friction_N');
    expect(drag!.spread.standardDeviation).toBeCloseTo(0.02, 10);
    const three = drag!.resolvable.find(({ remounts }) => remounts === 3)!;
    expect(three.expected).toBeCloseTo(resolvableDifference(0.02, 3), 10);
    expect(three.cautious).toBeGreaterThan(3 * three.expected);
  });

  it('is nothing from one recording, and never better than the recordings themselves', () => {
    expect(rigResolution([remountOf(1)])).toEqual([]);
    const [same] = rigResolution([remountOf(1), remountOf(1), remountOf(1)]);
    expect(same!.spread.standardDeviation).toBeCloseTo(0.004, 10);
  });

  it('can be asked before anything is bought, from the check standard’s spread', () => {
    const spread = { standardDeviation: 0.01, degreesOfFreedom: 12 };
    const [drag, damping] = expectedResolution(
      { drag_N: spread, damping: spread },
      { drag_N: 0.5, damping_N: 6 },
    );
    expect(drag!.resolvable[1]!.expected).toBeCloseTo(0.0309, 3);
    expect(damping!.resolvable[1]!.expected).toBeCloseTo(0.185, 2);
  });

  it('names the tightest tolerance that a perfect build is found within four times in five', () => {
    const random = randomFrom(19);
    const tolerance = smallestTolerance(1, 4);
    let within = 0;
    for (let i = 0; i < 4000; i++) {
      const values = Array.from({ length: 4 }, () => random.normal());
      const mean = values.reduce((a, b) => a + b, 0) / 4;
      const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / 3);
      if (Math.abs(mean) + (3.182446 * sd) / 2 <= tolerance) within++;
    }
    expect(within / 4000).toBeGreaterThan(0.78);
    expect(within / 4000).toBeLessThan(0.82);
  });
});
