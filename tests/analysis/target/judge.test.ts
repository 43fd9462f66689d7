import { describe, expect, it } from 'vitest';
import {
  everywhere,
  type ForceCurve,
  judgeTarget,
  meanOfRemounts,
  type Tolerance,
  typedCurve,
} from '../../../analysis/index.js';
import { bothWays, lawCurve } from '../curves/law-curve.js';
import { randomFrom } from '../played/random.js';

const error = { linear: 0.25, quadratic: 1 };
const target = lawCurve(bothWays(30, 40));
const built = (factor: number) => lawCurve(bothWays(30 * factor, 40 * factor), { error });

const judge = (measured: ForceCurve, wanted = target, tolerances: readonly Tolerance[] = everywhere(5)) => {
  const outcome = judgeTarget(measured, wanted, tolerances);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.judgement;
};

describe('the verdict on a target', () => {
  it('is within when every interval lies inside the tolerance', () => {
    expect(judge(built(1.01)).verdict).toBe('within');
  });

  it('is outside when the band for all speeds leaves it, and names the worst speed', () => {
    const { verdict, worst } = judge(built(1.1));
    expect(verdict).toBe('outside');
    expect(worst.deviation_percent.value).toBeCloseTo(10, 6);
    expect(judge(built(0.9)).worst.deviation_N.value).toBeLessThan(0);
  });

  it('is undecided in between, where the limit lies inside the interval', () => {
    expect(judge(built(1.05)).verdict).toBe('undecided');
    expect(judge(built(1.045)).verdict).toBe('undecided');
  });

  it('counts the uncertainty of the target too', () => {
    const vague = lawCurve(bothWays(30, 40), { error: { linear: 1.2, quadratic: 4 } });
    expect(judge(built(1.01), vague).verdict).toBe('undecided');
  });

  it('looks at the directions and speeds that a tolerance names, and no others', () => {
    const lopsided = lawCurve(
      { compression: { linear: 30, quadratic: 40 }, rebound: { linear: 45, quadratic: 40 } },
      { error },
    );
    const only: Tolerance[] = [
      { direction: 'compression', from_m_per_s: 0.05, to_m_per_s: 0.3, percent: 5, force_N: 0 },
    ];
    const { verdict, speeds } = judge(lopsided, target, only);
    expect(verdict).toBe('within');
    expect(speeds.every(({ velocity_m_per_s: v }) => v >= 0.05 && v <= 0.3)).toBe(true);
    expect(judge(lopsided).verdict).toBe('outside');
  });

  it('allows the larger of a share and a force', () => {
    const forces: Tolerance[] = [
      { direction: 'both', from_m_per_s: 0, to_m_per_s: 1, percent: 1, force_N: 3 },
    ];
    expect(judge(built(1.1), target, forces).verdict).toBe('within');
  });

  it('is undecided where the target goes beyond what was measured', () => {
    const fast = lawCurve(bothWays(30, 40), { fastest_m_per_s: 0.6 });
    const { verdict, unmeasured } = judge(built(1), fast);
    expect(verdict).toBe('undecided');
    expect(unmeasured[0]).toEqual({ direction: 'compression', from_m_per_s: 0.4, to_m_per_s: 0.6 });
    const nearly = judge(built(1), lawCurve(bothWays(30, 40), { fastest_m_per_s: 0.43 }));
    expect(nearly.verdict).toBe('within');
    expect(nearly.extrapolated).toBe(true);
  });

  it('sees what a build does between the points that a person typed', () => {
    const outcome = typedCurve(
      [0.1, 0.4].map((v) => ({ velocity_m_per_s: v, force_N: 30 * v + 40 * v * v })),
    );
    if (!outcome.ok) throw new Error();
    const bump: ForceCurve = {
      ...target,
      points: target.points.map((point) =>
        Math.abs(point.velocity_m_per_s - 0.2) < 1e-9 ? { ...point, force_N: 1.2 * point.force_N } : point,
      ),
    };
    expect(judge(bump, outcome.curve).verdict).toBe('outside');
  });

  it('refuses what cannot be compared', () => {
    const codeOf = (...args: Parameters<typeof judgeTarget>) => {
      const outcome = judgeTarget(...args);
      return outcome.ok ? 'judged' : outcome.refusal.code;
    };
    expect(codeOf({ ...target, kind: 'total' }, target, everywhere(5))).toBe('different-kinds');
    expect(codeOf({ ...target, temperature_degC: 30 }, target, everywhere(5))).toBe('different-temperatures');
    expect(codeOf(target, target, [])).toBe('bad-tolerance');
    expect(codeOf(target, target, everywhere(-1))).toBe('bad-tolerance');
    expect(
      codeOf(target, target, [{ direction: 'both', from_m_per_s: 2, to_m_per_s: 3, percent: 5, force_N: 0 }]),
    ).toBe('no-common-speeds');
  });
});

describe('over many measurements', () => {
  const random = randomFrom(7);
  const verdicts = (factor: number, runs: number) => {
    const counts = { within: 0, outside: 0, undecided: 0 };
    for (let i = 0; i < runs; i++) {
      const erring = () => ({
        linear: 30 * factor + error.linear * random.normal(),
        quadratic: 40 * factor + error.quadratic * random.normal(),
      });
      counts[judge(lawCurve({ compression: erring(), rebound: erring() }, { error })).verdict]++;
    }
    return counts;
  };

  it('a build exactly at the limit is seldom called within or outside', () => {
    const { within, outside } = verdicts(1.05, 800);
    expect(within / 800).toBeLessThan(0.05);
    expect(outside / 800).toBeLessThan(0.06);
  });

  it('a build on the target is nearly always called within, one far off outside', () => {
    expect(verdicts(1, 200).within / 200).toBeGreaterThan(0.9);
    expect(verdicts(1.15, 200).outside / 200).toBeGreaterThan(0.95);
  });

  it('three remounts decide less than their spread suggests, because three know it badly', () => {
    const remounts = [0.995, 1, 1.005].map((scale) => lawCurve(bothWays(30 * scale, 40 * scale)));
    expect(judge(meanOfRemounts(remounts)).verdict).toBe('within');
    expect(judge(meanOfRemounts(remounts), target, everywhere(1)).verdict).toBe('undecided');
  });
});
