import { describe, expect, it } from 'vitest';
import {
  estimateOf,
  everywhere,
  measuredOil,
  type OilPlanOptions,
  planOil,
  restoreTotal,
} from '../../../analysis/index.js';
import { bothWays, lawCurve } from '../curves/law-curve.js';
import { oil } from './bottle.js';

const error = { linear: 0.2, quadratic: 0.8 };
const have = lawCurve(bothWays(30, 40), { error });
const shelf = [200, 300, 350, 450, 600].map((cSt) => oil(`bottle ${cSt}`, cSt));
const present = shelf[2]!;

const plan = (want: Parameters<typeof planOil>[1], options: OilPlanOptions = { present, shelf }) => {
  const outcome = planOil(have, want, options);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.plan;
};
const wanting = (factor: number, quadratic = 40) => lawCurve(bothWays(30 * factor, quadratic), { error });

describe('the oil for a target', () => {
  it('is the bottle nearest to the wanted viscosity, with what it would do', () => {
    const { viscosityRatio, advice, choices } = {
      viscosityRatio: plan(wanting(450 / 350)).ratio,
      advice: plan(wanting(450 / 350)).advice,
      choices: plan(wanting(450 / 350)).shelf,
    };
    expect(viscosityRatio.value).toBeCloseTo(450 / 350, 6);
    expect(advice).toBe('shelf-oil');
    expect(choices.map(({ oil: { label } }) => label)[0]).toBe('bottle 450');
    expect(Math.abs(choices[0]!.judgement!.worst.deviation_percent.value)).toBeLessThan(0.5);
    expect(choices).toHaveLength(shelf.length);
  });

  it('is a blend where no bottle is near, and the blend is made of the two nearest bottles', () => {
    const { advice, blend } = plan(wanting(520 / 350), { present, shelf, tolerances: everywhere(2) });
    expect(advice).toBe('blend');
    expect([blend!.blend.thin.label, blend!.blend.thick.label]).toEqual(['bottle 450', 'bottle 600']);
    expect(blend!.oil.viscosity25_m2_per_s * 1e6).toBeCloseTo(520, 0);
  });

  it('is none where even the thinnest damps too much: drill', () => {
    expect(plan(wanting(0.3)).advice).toBe('drill');
    expect(plan(wanting(4)).advice).toBe('thicker-oil-needed');
  });

  it('is the present one where the target is met already', () => {
    expect(plan(wanting(1)).advice).toBe('keep-oil');
  });

  it('cannot be named without knowing what is in the shock', () => {
    const { advice, ratio, wantedViscosity25_m2_per_s } = plan(wanting(1.5), { shelf });
    expect(advice).toBe('present-oil-unknown');
    expect(ratio.value).toBeCloseTo(1.5, 6);
    expect(wantedViscosity25_m2_per_s).toBeNull();
  });

  it('leaves what only holes can change', () => {
    const { remaining } = plan(wanting(1.2, 80));
    expect(remaining!.verdict).toBe('outside');
    expect(plan(wanting(1.2)).remaining!.verdict).toBe('within');
  });

  it('has little hold where damping is mostly quadratic', () => {
    expect(plan(wanting(1)).viscousShare).toBeCloseTo(30 / (30 + 40 * 0.4), 6);
  });

  it('is predicted more sharply when it was measured against the present one', () => {
    const printed = oil('printed', 500);
    const measured = measuredOil('measured', present, estimateOf(500 / 350, 0.01));
    const { shelf: both } = plan(wanting(500 / 350), { present, shelf: [printed, measured] });
    const width = (label: string) =>
      both.find((choice) => choice.oil.label === label)!.viscosityOverWanted.standardError;
    expect(width('measured')).toBeLessThan(0.4 * width('printed'));
  });

  it('is not planned from a total force, which oil cannot bring about', () => {
    const outcome = planOil({ ...have, kind: 'total' }, wanting(1));
    expect(outcome.ok ? 'planned' : outcome.refusal.code).toBe('not-damping');
  });
});

describe('the former total force after a seal change', () => {
  const friction = (drag: number) => ({
    mean_N: estimateOf(drag, 0.02),
    compression_N: estimateOf(drag, 0.03),
    rebound_N: estimateOf(drag, 0.03),
    breakaway_N: null,
  });
  const restored = (lost: number, options: Parameters<typeof restoreTotal>[2] = { present }) => {
    const outcome = restoreTotal(
      { damping: have, friction: friction(0.4 + lost) },
      { damping: have, friction: friction(0.4) },
      options,
    );
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    return outcome.restored;
  };

  it('asks for thicker oil by as much drag as was lost', () => {
    const none = restored(0);
    expect(none.viscosityRatio.value).toBeCloseTo(1, 5);
    const some = restored(0.7);
    expect(some.dragLost_N).toBeCloseTo(0.7, 12);
    expect(some.viscosityRatio.value).toBeGreaterThan(1.05);
    expect(some.viscosityRatio.value).toBeLessThan(1.3);
    expect(some.wantedViscosity25_m2_per_s!.value).toBeCloseTo(350e-6 * some.viscosityRatio.value, 12);
  });

  it('does not come back at low speed, where drag was nearly all of it', () => {
    const { notRestoredBelow_m_per_s, speeds } = restored(0.7);
    expect(notRestoredBelow_m_per_s.compression).toBeGreaterThan(0.03);
    expect(notRestoredBelow_m_per_s.compression).toBeLessThan(0.12);
    const slowest = speeds.find(({ velocity_m_per_s: v }) => v > 0)!;
    expect(slowest.deviation_N).toBeLessThan(-0.6);
    expect(slowest.deviation_N).toBeGreaterThan(-0.7);
    expect(speeds.at(-1)!.restored).toBe(true);
  });

  it('balances over the speeds asked for: too much at the fast end, too little at the slow', () => {
    const { speeds } = restored(0.7, { from_m_per_s: 0.1, to_m_per_s: 0.4 });
    const asked = speeds.filter(({ velocity_m_per_s: v }) => v >= 0.1);
    expect(asked[0]!.deviation_percent).toBeLessThan(0);
    expect(asked.at(-1)!.deviation_percent).toBeGreaterThan(0);
  });

  it('needs the drag of both builds', () => {
    const unknown = { mean_N: null, compression_N: null, rebound_N: null, breakaway_N: null };
    const outcome = restoreTotal(
      { damping: have, friction: friction(1) },
      { damping: have, friction: unknown },
    );
    expect(outcome.ok ? 'planned' : outcome.refusal.code).toBe('no-drag');
  });
});
