import { describe, expect, it } from 'vitest';
import type { LiveEstimate, MoreRemountsAnswer, TravelAnswer } from '../../dashboard/answers/index.js';
import {
  differenceSentence,
  displayScale,
  liveSentence,
  moreRemountsRows,
  moreRemountsSentences,
  resolvesPictureSentence,
  travelRows,
  travelSentences,
} from '../../dashboard/wording/index.js';
import { difference, estimate } from './worded-examples.js';

describe('display units', () => {
  // NIST SP 811 (2008), appendix B.8: 1 lbf = 4.448 221 615 260 5 N (its footnote 23), 1 gf = 9.806 65 mN, 1 in = 25.4 mm,
  // 1 lbf/in = 175.126 8 N/m; what follows from them by division is as exact.
  it.each([
    ['force', 'lbf', 'in', 'lbf', 4.4482216152605],
    ['force', 'gf', 'mm', 'gf', 9.80665e-3],
    ['length', 'lbf', 'in', 'in', 25.4e-3],
    ['velocity', 'N', 'in', 'in/s', 25.4e-3],
    ['springRate', 'lbf', 'in', 'lbf/in', 175.1268],
    ['springRate', 'gf', 'mm', 'gf/mm', 9.80665],
    ['springRate', 'N', 'in', 'N/in', 1 / 25.4e-3],
    ['springRate', 'N', 'mm', 'N/mm', 1000],
  ] as const)('show a %s in %s and %s as %s of %d SI units', (dimension, force, length, unit, size) => {
    const shown = displayScale(dimension, { force, length });
    expect(shown.unit).toBe(unit);
    expect(1 / shown.factor / size).toBeCloseTo(1, 6);
  });

  it('use the exact factors of NIST SP 811', () => {
    const imperial = { force: 'lbf', length: 'in' } as const;
    expect(1 / displayScale('force', imperial).factor).toBe(4.4482216152605);
    expect(1e-3 / displayScale('springRate', imperial).factor).toBeCloseTo(0.17512683524647638, 15);
    expect(70 / displayScale('springRate', imperial).factor / 1000).toBeCloseTo(12.258878467, 8);
    const grams = displayScale('springRate', { force: 'gf', length: 'mm' });
    expect([grams.unit, 1e-3 / grams.factor]).toEqual(['gf/mm', expect.closeTo(0.00980665, 15)]);
    expect(displayScale('linearDamping', imperial).unit).toBe('lbf·s/in');
    expect(displayScale('quadraticDamping').unit).toBe('N·s²/m²');
  });

  it('turn every number of a sentence, also the speed', () => {
    const sentence = differenceSentence(difference({ quantity: 'damping.rebound@0.10' }), {
      units: { force: 'lbf', length: 'in' },
    });
    expect(sentence).toBe(
      'The after build damps 0.094 lbf less in rebound at 3.94 in/s (95 %: 0.078 to 0.110), about a third.',
    );
  });
});

describe('answers in pounds and inches', () => {
  const imperial = { force: 'lbf', length: 'in' } as const;

  it('say a travel, what ends it and what spacers leave', () => {
    const answer: TravelAnswer = {
      travel_mm: estimate(17.78, 0.1),
      atLeast: false,
      contact: { kind: 'hard', position_mm: estimate(20.32, 0.1), stiffness_N_per_mm: 35 },
      fullExtension: null,
      from_mm: 1,
      to_mm: 21,
      spacers: {
        underPiston_mm: 2.54,
        outside_mm: 0,
        standing_mm: 8,
        travel_mm: 12.7,
        down_mm: 7.62,
        up_mm: 5.08,
        shorter_mm: 2.54,
      },
      firstTouch: { first: 'stop', margin_mm: 2.54 },
    };
    const said = travelSentences(answer, imperial);
    expect(said[0]).toBe(
      'The shock has 0.7000 ± 0.0039 in of travel: a hard stop touches at 0.8000 ± 0.0039 in.',
    );
    expect(said[1]).toContain('(200 lbf/in)');
    expect(said[3]).toBe(
      'With 0.1 in under the piston 0.500 in are left: 0.300 in down and 0.200 in up from where the vehicle stands, at the shock.',
    );
    expect(said[4]).toContain('the piston has 0.100 in left');
    expect(said.join(' ')).not.toMatch(/\bN\b|\bmm\b/);
    expect(travelRows(answer, imperial).map(({ unit }) => unit)).toEqual([
      'in',
      'in',
      'lbf/in',
      '',
      'in',
      'in',
    ]);
  });

  it('say what more remounts tell', () => {
    const told = { remounts: 3, halfWidth_N: 0.2, resolvable_N: 0.44482216152605, cautious_N: 0.9 };
    const answer: MoreRemountsAnswer = {
      basis: 'remounts',
      seenIn: 3,
      quantity: 'damping.rebound@0.10',
      quantities: ['damping.rebound@0.10'],
      value_N: 4.4482216152605,
      recorded: 3,
      now: told,
      byRemounts: [told],
      wanted: null,
    };
    expect(moreRemountsSentences(answer, imperial)[0]).toContain(
      'Rebound damping at 3.94 in/s: three remounts a side tell a difference of 0.10 lbf (10 %) from nothing',
    );
    expect(moreRemountsRows(answer, imperial)[0]!.resolvable).toBe('0.10');
    expect(resolvesPictureSentence(answer, imperial)).toContain(
      'tell 0.10 lbf of rebound damping at 3.94 in/s',
    );
  });

  it('say how sharp an estimate is while it records', () => {
    const latest: LiveEstimate = {
      recordingId: 1,
      until_s: 10,
      isLast: false,
      refusal: null,
      cycles: 9,
      cyclesWanted: null,
      quantities: [
        {
          quantity: 'damping.compression@0.10',
          estimate: estimate(4.4482216152605, 0.44482216152605),
          notYet: null,
          fastest_m_per_s: 0.2,
        },
      ],
    };
    expect(liveSentence(latest, 'damping.compression@0.10', 0.22241108076, 'coarse', null, imperial)).toBe(
      'Damping in compression at 3.94 in/s is known to ±0.10 lbf; your question needs ±0.050 lbf.',
    );
  });
});
