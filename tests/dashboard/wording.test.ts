import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type {
  AnalysisRefusal,
  Comparison,
  Estimate,
  Finding,
  RecordingAnalysis,
} from '../../analysis/index.js';
import {
  comparisonSentences,
  decimalsOfUncertainty,
  differenceRows,
  differenceSentence,
  estimateText,
  findingCodes,
  findingSentence,
  formatDecimals,
  formatNumber,
  notIdentifiedSentences,
  plusMinus,
  proportionWords,
  recordingSentence,
  refusalSentence,
  withoutReadingsSentence,
} from '../../dashboard/wording/index.js';
import { difference, estimate } from './worded-examples.js';

const isText = (value: unknown): value is string => typeof value === 'string';

/** Nothing that a broken value leaves behind, and the shape of a sentence. */
function expectSentence(text: string): void {
  expect(text).not.toMatch(/NaN|undefined|null|Infinity|\[object|!|\s\s| ,| \./);
  expect(text).toMatch(/^[\p{Lu}\d].*\.$/su);
}

const anyEstimate: fc.Arbitrary<Estimate> = fc
  .tuple(
    fc.double({ min: -1e4, max: 1e4, noNaN: true }),
    fc.double({ min: 0, max: 1e3, noNaN: true }),
    fc.double({ min: 0, max: 1e3, noNaN: true }),
  )
  .map(([value, below, above]) => ({
    value,
    standardError: (below + above) / 4,
    low95: value - below,
    high95: value + above,
  }));

describe('digits', () => {
  it('show two significant digits of the half-width', () => {
    expect(decimalsOfUncertainty(0.071)).toBe(3);
    expect(decimalsOfUncertainty(0.12)).toBe(2);
    expect(decimalsOfUncertainty(34)).toBe(0);
    expect(decimalsOfUncertainty(1234)).toBe(-2);
  });

  it('count an uncertainty that rounds up to the next power of ten as that power', () => {
    expect(decimalsOfUncertainty(0.0996)).toBe(2);
    expect(plusMinus(estimate(1.2345, 0.0996), 'N')).toBe('1.23 ± 0.10 N');
  });

  it('have no say where the interval is empty or unbounded', () => {
    expect(decimalsOfUncertainty(0)).toBeNull();
    expect(decimalsOfUncertainty(Number.POSITIVE_INFINITY)).toBeNull();
    expect(decimalsOfUncertainty(Number.NaN)).toBeNull();
  });

  it('round tens and hundreds that are uncertain', () => {
    expect(plusMinus(estimate(45_678, 1234), 'N')).toBe('45700 ± 1200 N');
  });

  it('use a true minus sign and never minus zero', () => {
    expect(formatDecimals(-0.42, 2)).toBe('−0.42');
    expect(formatDecimals(-0.004, 2)).toBe('0.00');
    expect(formatNumber(-0)).toBe('0');
  });

  it('follow the interval for every estimate: the half-width reads back within 5 %', () => {
    fc.assert(
      fc.property(anyEstimate, (e) => {
        const halfWidth = (e.high95 - e.low95) / 2;
        fc.pre(halfWidth > 1e-9);
        const text = estimateText(e);
        expect(Math.abs(Number(text.halfWidth) - halfWidth)).toBeLessThanOrEqual(0.05001 * halfWidth);
        const decimals = (part: string) => part.split('.')[1]?.length ?? 0;
        expect(new Set([text.value, text.halfWidth, text.low, text.high].map(decimals)).size).toBe(1);
        expect(text.halfWidth.replace(/^[0.]+|\./g, '').length).toBeGreaterThanOrEqual(2);
      }),
    );
  });

  it('write an interval out when it is not centred on its value', () => {
    expect(plusMinus({ value: 1.3, standardError: 0.4, low95: 0.9, high95: 3 }, 'N')).toBe(
      '1.3 N (0.9 to 3.0)',
    );
  });
});

describe('a comparison sentence', () => {
  it('says how much less, with the interval and the share', () => {
    const names = { before: 'the old one', after: 'the new seal' };
    expect(differenceSentence(difference({}), { names })).toBe(
      'The new seal drags 0.420 N less than the old one (95 %: 0.349 to 0.491), about a third.',
    );
  });

  it('says how much more for each kind of quantity', () => {
    const more = { difference: estimate(1.2, 0.15), after: estimate(2.46, 0.15), verdict: 'higher' } as const;
    expect(differenceSentence(difference(more))).toBe(
      'The after build drags 1.20 N more (95 %: 1.05 to 1.35), about 2.0 times as much.',
    );
    expect(differenceSentence(difference({ ...more, quantity: 'breakaway_N' }))).toContain(
      'needs 1.20 N more to start moving',
    );
    expect(differenceSentence(difference({ ...more, quantity: 'damping.compression@0.10' }))).toContain(
      'damps 1.20 N more in compression at 100 mm/s',
    );
    expect(differenceSentence(difference({ ...more, quantity: 'gas.rate_N_per_mm' }))).toContain(
      'has 1.20 N/mm more gas rate',
    );
  });

  it('says what could have been seen where nothing was resolved', () => {
    const unresolved = difference({ difference: estimate(-0.03, 0.08), verdict: 'not-resolved' });
    expect(differenceSentence(unresolved, { remounts: { before: 3, after: 3 } })).toBe(
      'Drag: not resolved. The difference, −0.030 ± 0.080 N, is smaller than 0.110 N, which is what three remounts a side can see here.',
    );
    expect(differenceSentence(unresolved, { remounts: { before: 1, after: 2 } })).toContain(
      'one remount before and two remounts after',
    );
  });

  it('puts the damping forces that were not resolved into one sentence', () => {
    const quiet = { difference: estimate(-0.003, 0.008), verdict: 'not-resolved' } as const;
    const comparison: Comparison = {
      differences: [
        difference({}),
        difference({ ...quiet, quantity: 'damping.compression@0.05', resolvable: 0.009 }),
        difference({ ...quiet, quantity: 'damping.rebound@0.05', resolvable: 0.013 }),
        difference({ ...quiet, quantity: 'damping.compression@0.10', resolvable: 0.022 }),
        difference({ quantity: 'damping.rebound@0.10' }),
      ],
      temperature_degC: 23,
      remounts: { before: 3, after: 3 },
    };
    const sentences = comparisonSentences(comparison);
    expect(sentences).toHaveLength(3);
    expect(sentences[1]).toContain('damps 0.420 N less in rebound at 100 mm/s');
    expect(sentences[2]).toBe(
      'Damping: not resolved in compression at 50 and 100 mm/s and in rebound at 50 mm/s. These differences are smaller than the 0.0090 to 0.022 N that three remounts a side can see here.',
    );
  });

  it('says so where there is nothing to compare', () => {
    const nothing = { differences: [], temperature_degC: null, remounts: { before: 1, after: 1 } };
    expect(comparisonSentences(nothing)).toEqual([
      'These recordings have nothing in common that could be compared.',
    ]);
  });

  it('leaves the share out where the level before is not clearly above zero', () => {
    expect(proportionWords(estimate(0.1, 0.2), estimate(0.5, 0.1))).toBeNull();
    expect(proportionWords(estimate(1, 0.1), estimate(0.5, 0.1))).toBe('about half');
    expect(proportionWords(estimate(1, 0.1), estimate(0.88, 0.1))).toBe('about 12 %');
    expect(proportionWords(estimate(1, 0.1), estimate(3, 0.1))).toBe('about 3.0 times as much');
    expect(proportionWords(estimate(1, 0.1), estimate(1.001, 0.1))).toBe('less than 1 %');
  });

  it('is whole for any numbers', () => {
    const quantity = fc.constantFrom(
      'friction_N',
      'breakaway_N',
      'damping.compression@0.10',
      'damping.rebound@0.05',
      'gas.offset_N',
      'gas.rate_N_per_mm',
      'rig.movingMass_kg',
      'somethingNew',
    );
    fc.assert(
      fc.property(
        quantity,
        anyEstimate,
        anyEstimate,
        anyEstimate,
        fc.constantFrom('lower' as const, 'higher' as const, 'not-resolved' as const),
        fc.oneof(fc.double({ min: 0, max: 1e4, noNaN: true }), fc.constant(Number.POSITIVE_INFINITY)),
        fc.constantFrom('N' as const, 'lbf' as const, 'gf' as const),
        fc.constantFrom('mm' as const, 'in' as const),
        (name, before, after, change, verdict, resolvable, force, length) => {
          const { spread } = difference({});
          const entry = { quantity: name, before, after, difference: change, verdict, resolvable, spread };
          const comparison: Comparison = {
            differences: [entry],
            temperature_degC: null,
            remounts: { before: 3, after: 14 },
          };
          const units = { force, length };
          for (const sentence of comparisonSentences(comparison, { units })) expectSentence(sentence);
          for (const cell of Object.values(differenceRows(comparison, units)[0]!).filter(isText))
            expect(cell).not.toMatch(/NaN|undefined|null|Infinity/);
        },
      ),
    );
  });
});

describe('a finding', () => {
  it('has a sentence for each of the seventeen codes, with no values, all values and broken values', () => {
    expect(findingCodes).toHaveLength(17);
    const full = {
      deadStroke_mm: 1.83,
      force_N: 12.34,
      position_mm: 23.4,
      play_mm: 0.2,
      samples: 17,
      share_percent: 0.27,
      percent: 3.2,
      wanted: 4,
      cycles: 2,
      samplesPerCycle: 9,
      halfWidth_ms: 6.2,
      kernel: 'sinc4',
      channel: 'force',
      rise_K: 2.4,
    };
    const broken = Object.fromEntries(Object.keys(full).map((key) => [key, Number.NaN]));
    for (const code of findingCodes)
      for (const values of [{}, full, broken])
        expectSentence(findingSentence({ code, severity: 'warning', values }));
  });

  it('puts its numbers into the sentence, in the units chosen', () => {
    const air: Finding = { code: 'air-in-oil', severity: 'warning', values: { deadStroke_mm: 1.834 } };
    expect(findingSentence(air)).toBe(
      'Bleed the shock and measure again: damping builds up only 1.83 mm after each reversal, which is how air in the oil shows.',
    );
    expect(findingSentence(air, { force: 'lbf', length: 'in' })).toContain('0.0722 in after');
    const ceiling: Finding = { code: 'compression-ceiling', severity: 'warning', values: { force_N: 12.34 } };
    expect(findingSentence(ceiling)).toContain('below 12.3 N');
    const lost: Finding = { code: 'samples-missing', severity: 'warning', values: { samples: 1 } };
    expect(findingSentence(lost)).toContain('1 sample was lost');
    const clipped: Finding = { code: 'force-saturated', severity: 'warning', values: { samples: 1 } };
    expect(findingSentence(clipped)).toMatch(/1 sample lies at its limit.* was left out/);
  });

  it('gives the reason that was seen: both signs turned cost no energy, only gas that pulls shows them', () => {
    const reversed = (channel: string) =>
      findingSentence({ code: 'sign-reversed', severity: 'warning', values: { channel } });
    expect(reversed('force')).toMatch(/sign of force .* energy/);
    expect(reversed('force and position')).toMatch(/signs of both force and position .* gas would pull/);
    expect(reversed('force and position')).not.toContain('energy');
  });
});

describe('a recording', () => {
  const base: RecordingAnalysis = {
    samples: 6400,
    cycles: 40,
    procedure: 'speed-ladder',
    friction: {
      mean_N: estimate(1.32, 0.052),
      compression_N: null,
      rebound_N: null,
      breakaway_N: estimate(1.6, 0.12),
    },
    damping: {
      compression: { linear_Ns_per_m: null, quadratic_Ns2_per_m2: null },
      rebound: { linear_Ns_per_m: null, quadratic_Ns2_per_m2: null },
      curve: [
        { velocity_m_per_s: -0.105, force_N: -2.1, standardError_N: 0.05, low95_N: -2.2, high95_N: -2.0 },
        { velocity_m_per_s: -0.02, force_N: -0.4, standardError_N: 0.05, low95_N: -0.5, high95_N: -0.3 },
        { velocity_m_per_s: 0.1, force_N: 3.2, standardError_N: 0.05, low95_N: 3.0, high95_N: 3.4 },
        { velocity_m_per_s: 0.3, force_N: 9, standardError_N: 0.05, low95_N: 8, high95_N: 10 },
      ],
    },
    gas: { offset_N: null, rate_N_per_mm: null },
    rig: { lag_ms: null, kernel: 'none', movingMass_kg: null },
    temperature_degC: 23.41,
    residual_N: 0.02,
    notIdentified: [],
    findings: [],
  };

  it('is summed up by drag, breakaway and damping at one speed', () => {
    expect(recordingSentence(base)).toBe(
      'Drag is 1.320 ± 0.052 N and breakaway 1.60 ± 0.12 N. Damping is 3.20 ± 0.20 N in compression at 100 mm/s and 2.10 ± 0.10 N in rebound at 105 mm/s, with the shock at 23.4 °C.',
    );
  });

  it('says what it cannot tell', () => {
    const bare = {
      ...base,
      friction: { ...base.friction, mean_N: null },
      damping: { ...base.damping, curve: [] },
    };
    expect(recordingSentence(bare)).toBe(
      'Drag cannot be told from this recording. Damping cannot be told from this recording.',
    );
  });

  it('is explained once per reason where estimates are missing', () => {
    const sentences = notIdentifiedSentences([
      'friction.compression_N',
      'friction.rebound_N',
      'gas.rate_N_per_mm',
      'unheard.of',
    ]);
    expect(sentences).toHaveLength(3);
    for (const sentence of sentences) expectSentence(sentence);
    expect(sentences[2]).toContain('unheard.of');
  });

  it('is refused in one line that says what was found and wanted', () => {
    const codes: AnalysisRefusal['code'][] = [
      'no-force',
      'no-position',
      'too-short',
      'no-motion',
      'not-finite',
      'time-not-increasing',
      'constant-force',
      'out-of-range',
      'no-overlap',
      'all-saturated',
      'too-long',
      'singular',
    ];
    for (const code of codes) {
      const sentence = refusalSentence({ code, found: '12 samples', wanted: 'at least 100' });
      expectSentence(sentence);
      expect(sentence).toContain('found 12 samples; wanted at least 100');
    }
  });
});

describe('a scale that came without its readings', () => {
  const scales = { force: { newton_per_count: 4.5662e-5 }, position: { metre_per_count: 3.67e-6 } };

  it('is told all the same, and that how it was found is not', () => {
    const inForce = { version: 1, calibration: scales };
    expect(withoutReadingsSentence('force', inForce)).toBe(
      'Calibration 1 says that 1000 counts are 45.662 mN; the readings behind it are not kept here.',
    );
    expect(withoutReadingsSentence('position', inForce)).toContain('1000 counts are 3.6700 mm;');
  });

  it('is not made up where there is none', () => {
    const byCrank = { ...scales, position: { ...scales.position, crank: {} } };
    expect(withoutReadingsSentence('position', { version: 2, calibration: byCrank })).toBeNull();
    expect(withoutReadingsSentence('lag', { version: 2, calibration: scales })).toBeNull();
  });
});
