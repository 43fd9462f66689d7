import { describe, expect, it } from 'vitest';
import {
  coverage95,
  curvePointOf,
  dampingCurve,
  errorModes,
  estimateOf,
  everywhere,
  type ForceCurve,
  fastestOf,
  forceOn,
  judgeTarget,
  meanOfRemounts,
  type RecordingAnalysis,
  twoTerms,
  typedCurve,
  withoutBentSides,
} from '../../../analysis/index.js';
import { bothWays, lawCurve } from './law-curve.js';

const typed = (points: [number, number][], kind: ForceCurve['kind'] = 'damping'): ForceCurve => {
  const outcome = typedCurve(
    points.map(([velocity_m_per_s, force_N]) => ({ velocity_m_per_s, force_N })),
    { kind },
  );
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.curve;
};

describe('a typed curve', () => {
  it('is put in order and leaves out the point at rest', () => {
    const curve = typed([
      [0.2, 8],
      [0, 0],
      [-0.1, -3],
    ]);
    expect(curve.points.map(({ velocity_m_per_s }) => velocity_m_per_s)).toEqual([-0.1, 0.2]);
    expect(curve.origin).toBe('typed');
  });

  it.each([
    [[[0, 0]], 'too-few-points'],
    [[[0.1, Number.NaN]], 'not-finite'],
    [
      [
        [0.1, 3],
        [0.1, 4],
      ],
      'repeated-speed',
    ],
    [[[-0.1, 3]], 'wrong-sign'],
  ] as [[number, number][], string][])('is refused for %j: %s', (points, code) => {
    const outcome = typedCurve(points.map(([velocity_m_per_s, force_N]) => ({ velocity_m_per_s, force_N })));
    expect(outcome.ok ? 'taken' : outcome.refusal.code).toBe(code);
  });
});

describe('reading a curve', () => {
  it('is exact for linear and quadratic damping from two points far apart', () => {
    const law = (v: number) => 25 * v + 60 * v * Math.abs(v);
    const curve = typed([0.05, 0.5].map((v) => [v, law(v)]));
    for (const v of [0.05, 0.13, 0.31, 0.5]) expect(forceOn(curve, v)!.force_N).toBeCloseTo(law(v), 12);
    expect(forceOn(curve, 0.6)).toMatchObject({ extrapolated: true });
    expect(forceOn(curve, 0.6)!.force_N).toBeCloseTo(law(0.6), 12);
    expect(forceOn(curve, -0.1)).toBeNull();
  });

  it('goes straight between points of total force, which drag keeps off zero', () => {
    const curve = typed(
      [
        [0.1, 2],
        [0.3, 6],
      ],
      'total',
    );
    expect(forceOn(curve, 0.2)!.force_N).toBeCloseTo(4, 12);
    expect(forceOn(curve, 0.02)!.force_N).toBeCloseTo(2, 12);
  });

  it('never exceeds the ceiling in compression and ignores it in rebound', () => {
    const curve = { ...lawCurve(bothWays(40, 40)), ceiling_N: 9 };
    expect(forceOn(curve, 0.4)!.force_N).toBe(9);
    expect(forceOn(curve, -0.4)!.force_N).toBeCloseTo(-22.4, 10);
  });
});

describe('the two terms of a curve', () => {
  it('come back with the errors that its band holds', () => {
    const curve = lawCurve(
      { compression: { linear: 31, quadratic: 44 }, rebound: { linear: 27, quadratic: 12 } },
      { error: { linear: 0.5, quadratic: 2 } },
    );
    const terms = twoTerms(curve, 'rebound')!;
    expect(terms.linear_Ns_per_m).toBeCloseTo(27, 8);
    expect(terms.quadratic_Ns2_per_m2).toBeCloseTo(12, 7);
    expect(terms.errors[0][0]).toBeCloseTo(0.5, 6);
    expect(terms.errors[1][0]).toBeCloseTo(0, 4);
    expect(terms.errors[1][1]).toBeCloseTo(2, 4);
  });

  it('leave the ceiling out', () => {
    const law = lawCurve(bothWays(40, 40));
    const points = law.points.map((point) => ({ ...point, force_N: Math.min(point.force_N, 9) }));
    expect(twoTerms({ ...law, points, ceiling_N: 9 }, 'compression')!.linear_Ns_per_m).toBeCloseTo(40, 8);
  });

  it('make as many error modes as the bands have independent errors', () => {
    expect(errorModes(lawCurve(bothWays(30, 30), { error: { linear: 0.3, quadratic: 1 } }))).toHaveLength(4);
    expect(errorModes(lawCurve(bothWays(30, 30)))).toHaveLength(0);
  });
});

describe('the mean of remounts', () => {
  const remounts = [0.97, 1, 1.03].map((scale) => lawCurve(bothWays(30 * scale, 30 * scale)));

  it('has the band that the spread between them asks for', () => {
    const mean = meanOfRemounts(remounts);
    const { force_N, high95_N } = mean.points.at(-1)!;
    expect(mean.degreesOfFreedom).toBe(2);
    expect(force_N).toBeCloseTo(30 * 0.4 + 30 * 0.16, 10);
    expect((high95_N - force_N) / force_N).toBeCloseTo((4.302653 * 0.03) / Math.sqrt(3), 6);
  });

  it('profits from what is known of the spread already', () => {
    const mean = meanOfRemounts(remounts, { relative: 0.03, degreesOfFreedom: 20 });
    const { force_N, high95_N } = mean.points.at(-1)!;
    expect(mean.degreesOfFreedom).toBe(22);
    expect((high95_N - force_N) / force_N).toBeCloseTo((2.073873 * 0.03) / Math.sqrt(3), 6);
  });

  it('keeps its fastest speed where a remount fell short of it by a hair, and loses it where by a tenth', () => {
    const shorter = (by: number) => lawCurve(bothWays(30, 30), { fastest_m_per_s: 0.4 * (1 - by) });
    const full = lawCurve(bothWays(30, 30));
    expect(fastestOf(meanOfRemounts([full, shorter(0.01)]), 'compression')).toBeCloseTo(0.4, 12);
    expect(fastestOf(meanOfRemounts([full, shorter(0.1)]), 'compression')).toBeCloseTo(0.36, 12);
  });

  it('keeps the band of a single recording, which then is all that is known', () => {
    const one = lawCurve(bothWays(30, 30), { error: { linear: 0.3, quadratic: 1 } });
    expect(meanOfRemounts([one])).toBe(one);
  });
});

describe('the curve of a recording', () => {
  const coverage = coverage95(5);
  const points = [-0.2, -0.1, 0.1, 0.2].map((v) => curvePointOf(v, estimateOf(30 * v, 0.4 * Math.abs(v), 5)));
  const analysis = {
    damping: { curve: points },
    findings: [],
    temperature_degC: 25,
  } as unknown as RecordingAnalysis;
  const curve = dampingCurve(analysis)!;

  it('keeps the standard errors of an interval that reaches further than 1.96 of them', () => {
    expect(points[3]!.high95_N - points[3]!.force_N).toBeCloseTo(coverage * 0.08, 12);
    expect(forceOn(curve, 0.2)!.standardError_N).toBeCloseTo(0.08, 12);
    expect(curve.degreesOfFreedom).toBeCloseTo(5, 6);
  });

  it('has its interval back where it is judged alone', () => {
    const outcome = judgeTarget(curve, lawCurve(bothWays(30, 0), { fastest_m_per_s: 0.2 }), everywhere(5));
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { deviation_N } = outcome.judgement.speeds.at(-1)!;
    expect(deviation_N.high95).toBeCloseTo(coverage * 0.08, 6);
  });
});

describe('a direction that bends down', () => {
  const down = lawCurve({
    compression: { linear: 100, quadratic: -60 },
    rebound: { linear: 60, quadratic: 20 },
  });

  it('is left out, and said to be', () => {
    const { curve, leftOut } = withoutBentSides(down);
    expect(leftOut).toEqual(['compression']);
    expect(fastestOf(curve, 'compression')).toBe(0);
    expect(fastestOf(curve, 'rebound')).toBeCloseTo(0.4, 12);
  });

  it('stays where its bend could be an error of measurement, or is none', () => {
    const blurred = lawCurve(
      { compression: { linear: 100, quadratic: -60 }, rebound: { linear: 60, quadratic: 20 } },
      { error: { linear: 2, quadratic: 30 } },
    );
    for (const curve of [blurred, lawCurve(bothWays(60, 0))])
      expect(withoutBentSides(curve)).toEqual({ curve, leftOut: [] });
  });
});
