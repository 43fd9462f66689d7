import { describe, expect, it } from 'vitest';
import { resolvableStandardErrors } from '../../analysis/comparison/noncentral-t.js';
import {
  compareBuilds,
  curvePointOf,
  type Estimate,
  estimateOf,
  type RecordingAnalysis,
} from '../../analysis/index.js';
import { randomFrom } from './played/random.js';

const estimate = (value: number, standardError: number): Estimate => ({
  value,
  standardError,
  low95: value - 1.96 * standardError,
  high95: value + 1.96 * standardError,
});

function recording(
  drag_N: number,
  linear: number,
  temperature_degC: number | null = null,
): RecordingAnalysis {
  const curve = [-0.3, -0.15, -0.02, 0.02, 0.15, 0.3].map((v) =>
    curvePointOf(v, estimateOf(linear * v, 0.01 / 1.96)),
  );
  const side = { linear_Ns_per_m: estimate(linear, 0.05), quadratic_Ns2_per_m2: null };
  return {
    samples: 1000,
    cycles: 20,
    procedure: 'speed-ladder',
    friction: {
      mean_N: estimate(drag_N, 0.002),
      compression_N: null,
      rebound_N: null,
      breakaway_N: null,
    },
    damping: { compression: side, rebound: side, curve },
    gas: { offset_N: null, rate_N_per_mm: null },
    rig: { lag_ms: null, kernel: 'none', movingMass_kg: null },
    temperature_degC,
    residual_N: 0.01,
    notIdentified: [],
    findings: [],
  };
}

const drag = (before: number[], after: number[]) =>
  compareBuilds(
    before.map((value) => recording(value, 30)),
    after.map((value) => recording(value, 30)),
  ).differences.find(({ quantity }) => quantity === 'friction_N')!;

describe('two builds compared over remounts', () => {
  it('reproduces a two-sample t interval with pooled variance', () => {
    // Worked by hand: means 1.0 and 0.7, pooled sd 0.02, s.e. 0.02·√(2/3), t(0.975; 4) = 2.7764 (NIST e-Handbook).
    const { difference, verdict } = drag([0.98, 1, 1.02], [0.68, 0.7, 0.72]);
    expect(difference.value).toBeCloseTo(-0.3, 12);
    expect(difference.standardError).toBeCloseTo(0.02 * Math.sqrt(2 / 3), 12);
    expect(difference.high95).toBeCloseTo(-0.3 + 2.7764451 * 0.02 * Math.sqrt(2 / 3), 7);
    expect(verdict).toBe('lower');
  });

  it('does not resolve what remounts alone could have made', () => {
    expect(drag([0.9, 1, 1.1], [0.92, 0.97, 1.08]).verdict).toBe('not-resolved');
  });

  it('never takes the spread below what the recordings themselves are unsure of', () => {
    const { difference } = drag([1, 1, 1], [1, 1, 1]);
    expect(difference.standardError).toBeCloseTo(0.002 * Math.sqrt(2 / 3), 12);
  });

  it('raises a false alarm in one comparison of twenty, not more', () => {
    const random = randomFrom(31);
    let alarms = 0;
    const trials = 2000;
    for (let trial = 0; trial < trials; trial++) {
      const side = () => [0, 0, 0].map(() => 1 + 0.02 * random.normal());
      if (drag(side(), side()).verdict !== 'not-resolved') alarms++;
    }
    expect(alarms / trials).toBeGreaterThan(0.035);
    expect(alarms / trials).toBeLessThan(0.065);
  });

  it('resolves a difference of the stated size four times in five', () => {
    const random = randomFrom(32);
    const sd = 0.02;
    const shift = resolvableStandardErrors(4) * sd * Math.sqrt(2 / 3);
    let found = 0;
    const trials = 2000;
    for (let trial = 0; trial < trials; trial++) {
      const side = (mean: number) => [0, 0, 0].map(() => mean + sd * random.normal());
      if (drag(side(1), side(1 + shift)).verdict === 'higher') found++;
    }
    expect(found / trials).toBeGreaterThan(0.77);
    expect(found / trials).toBeLessThan(0.83);
  });

  it('agrees with the noncentral t distribution of SciPy 1.17.1 (stats.nct)', () => {
    expect(resolvableStandardErrors(1)).toBeCloseTo(16.334008869921018, 5);
    expect(resolvableStandardErrors(1.5)).toBeCloseTo(7.829040965651401, 5);
    expect(resolvableStandardErrors(2)).toBeCloseTo(5.65348926640557, 6);
    expect(resolvableStandardErrors(4)).toBeCloseTo(3.7610602610043022, 6);
    expect(resolvableStandardErrors(30)).toBeCloseTo(2.89536175157927, 6);
  });

  it('compares damping at one temperature: the same oil, warmer, is no difference', () => {
    const warm = 35;
    const ratio = 10 ** (763.1 / (273 + warm) - 763.1 / (273 + 20));
    const { differences, temperature_degC } = compareBuilds(
      [recording(1, 30, 20), recording(1, 30, 20)],
      [recording(1, 30 * ratio, warm), recording(1, 30 * ratio, warm)],
    );
    const damping = differences.find(({ quantity }) => quantity === 'damping.compression@0.10')!;
    expect(temperature_degC).toBeCloseTo(27.5, 12);
    expect(Math.abs(damping.difference.value)).toBeLessThan(1e-9);
    expect(damping.difference.standardError).toBeGreaterThan(0.01);
  });

  it('leaves a compression ceiling where it is, whatever the temperature', () => {
    const at = (temperature_degC: number): RecordingAnalysis => {
      const free = recording(1, 30, temperature_degC);
      const curve = free.damping.curve.map((point) => ({ ...point, force_N: Math.min(point.force_N, 4.5) }));
      return {
        ...free,
        damping: { ...free.damping, curve },
        findings: [{ code: 'compression-ceiling', severity: 'note', values: { force_N: 4.5 } }],
      };
    };
    const { differences } = compareBuilds([at(20), at(20)], [at(24), at(24)]);
    const change = (quantity: string) =>
      differences.find((difference) => difference.quantity === quantity)!.difference.value;
    expect(change('damping.compression@0.20')).toBeCloseTo(0, 9);
    expect(Math.abs(change('damping.rebound@0.20'))).toBeGreaterThan(0.3);
  });

  it('leaves out speeds that were not measured', () => {
    const names = compareBuilds([recording(1, 30)], [recording(1, 30)]).differences.map(
      ({ quantity }) => quantity,
    );
    expect(names).toContain('damping.rebound@0.30');
    expect(names).not.toContain('damping.rebound@0.40');
  });
});
