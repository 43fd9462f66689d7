import { describe, expect, it } from 'vitest';
import { assumedSpread } from '../../analysis/index.js';
import { acrossRemounts, compareAnswer, knownSpread, spreadOfCurve } from '../../dashboard/answers/index.js';
import { acrossSentence } from '../../dashboard/wording/index.js';
import { remountOf } from '../analysis/planning/remount.js';

const learnt = (quantity: string, relativeStandardDeviation: number, degreesOfFreedom: number) => ({
  quantity,
  relativeStandardDeviation,
  degreesOfFreedom,
  rigShareOnly: false,
});

const recording = (drag_N: number) => remountOf(drag_N, 0.002);

describe('the long-run spread of a rig', () => {
  const known = knownSpread([
    learnt('friction_N', 0.02, 12),
    learnt('breakaway_N', 0.04, 2),
    { ...learnt('damping.compression@0.10', 0.03, 20), rigShareOnly: true },
    { ...learnt('damping.rebound@0.10', 0.08, 20), rigShareOnly: true },
  ]);

  it('counts once it was seen as often as the assumption stands for', () => {
    expect(known('friction_N')).toEqual({ relative: 0.02, degreesOfFreedom: 12 });
    expect(known('breakaway_N')).toBeUndefined();
    expect(known('damping.rebound@0.20')).toBeUndefined();
  });

  it('of the check standard alone counts only where it is more than assumed, and as no better known', () => {
    expect(known('damping.compression@0.10')).toBeUndefined();
    expect(known('damping.rebound@0.10')).toEqual({
      relative: 0.08,
      degreesOfFreedom: assumedSpread.degreesOfFreedom,
    });
  });

  it('gives a curve the largest spread of what it is made of', () => {
    const both = knownSpread([learnt('friction_N', 0.05, 9), learnt('damping.rebound@0.10', 0.03, 9)]);
    expect(spreadOfCurve(both, 'damping')!.relative).toBe(0.03);
    expect(spreadOfCurve(both, 'total')!.relative).toBe(0.05);
    expect(spreadOfCurve(undefined, 'total')).toBeUndefined();
  });

  it('widens a single recording to what another mounting might have shown, and says so', () => {
    const [drag, ...others] = acrossRemounts(recording(1), known);
    expect(others).toEqual([]);
    // t(0.975; 12) = 2.1788 (NIST/SEMATECH e-Handbook, 1.3.6.7.2) on 2 % of 1 N.
    expect(drag!.estimate.high95 - 1).toBeCloseTo(2.1788 * 0.02, 5);
    expect(acrossSentence([drag!])).toBe(
      'Over remounts drag is 1.000 ± 0.044 N: on this rig one mounting differs from another by 2.0 %.',
    );
    expect(acrossRemounts(recording(1), undefined)).toEqual([]);
  });

  it('stands behind a comparison of single recordings in place of the assumed one', () => {
    const builds = [1, 0.9].map((drag_N) => ({ name: String(drag_N), analyses: [recording(drag_N)] }));
    const verdictWith = (...spread: Parameters<typeof knownSpread>) => {
      const answer = compareAnswer({ builds, known: knownSpread(...spread) });
      const [{ verdict, spread: shown }] = answer.comparisons[0]!.differences as [never];
      return { verdict, basis: (shown as { basis: string }).basis };
    };
    expect(verdictWith([])).toEqual({ verdict: 'not-resolved', basis: 'assumed' });
    expect(verdictWith([learnt('friction_N', 0.02, 12)])).toEqual({ verdict: 'lower', basis: 'rig' });
  });
});
