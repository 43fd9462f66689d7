import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type LiveEstimate,
  neededHalfWidth,
  type RelativeSpreads,
  type SittingQuestionId,
  sittingPlan,
  sittingQuestion,
  sittingQuestions,
} from '../../dashboard/answers/index.js';
import { ticksWithin } from '../../dashboard/report/ticks.js';
import { apiProcedures } from '../../dashboard/server/procedure-choices.js';
import { createEnvelope } from '../../dashboard/web/bench/envelope.js';
import { knownOf, narrowingPicture, sharpnessOf } from '../../dashboard/web/bench/narrowing.js';
import { nextInSeries, type Series } from '../../dashboard/web/bench/series.js';
import { createTrail } from '../../dashboard/web/bench/trail.js';
import { nextRemountSentence, sittingPlanSentences } from '../../dashboard/wording/index.js';
import { inventedAnalysis } from './server-fixture.js';

describe('a live trace', () => {
  it('passes through what a line through all samples would ink, in four points a column at most', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1, maxLength: 400 }),
        (values) => {
          const trace = createEnvelope(10, 50);
          const time = values.map((_, i) => 0.013 * i);
          trace.append(time, values);
          const drawn: [number, number][] = [];
          trace.trace((...point) => drawn.push(point));
          for (let column = 0; column <= time.at(-1)! / 0.2; column++) {
            const isIn = (time_s: number) => Math.floor(time_s / 0.2) === column;
            const all = values.filter((_, i) => isIn(time[i]!));
            const shown = drawn.filter(([time_s]) => isIn(time_s)).map(([, value]) => value);
            expect(shown.length).toBeLessThanOrEqual(4);
            expect([shown[0], shown.at(-1)]).toEqual([all[0], all.at(-1)]);
            expect([Math.min(...shown), Math.max(...shown)]).toEqual([Math.min(...all), Math.max(...all)]);
          }
          expect(drawn.every(([t], i) => i === 0 || t >= drawn[i - 1]![0])).toBe(true);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('keeps its duration and forgets the rest, whatever the rate', () => {
    for (const rate_Hz of [10, 1000]) {
      const trace = createEnvelope(10, 100);
      for (let i = 0; i < 60 * rate_Hz; i++) trace.append([i / rate_Hz], [i]);
      const times: number[] = [];
      trace.trace((time_s) => times.push(time_s));
      expect(times.length).toBeLessThanOrEqual(404);
      expect(times[0]).toBeGreaterThan(49.8);
      expect(times[0]).toBeLessThan(50.2);
      expect([trace.end_s, trace.last]).toEqual([60 - 1 / rate_Hz, 60 * rate_Hz - 1]);
    }
  });
});

describe('the axes of a live picture', () => {
  it('have round values, zero among them as zero', () => {
    expect(ticksWithin(-11.2, 9.7, 5)).toEqual({ values: [-10, -5, 0, 5], decimals: 0 });
    expect(ticksWithin(-0.031, 0.012, 4)).toMatchObject({ decimals: 2 });
  });
});

describe('the trail of force against velocity', () => {
  /** Batches of a sine stroke, force at its own rate and a little behind. */
  function played(seconds: number, rate_Hz: number) {
    const trail = createTrail(2);
    const position = (t: number) => 0.01 * Math.sin(2 * Math.PI * t);
    for (let from = 0; from < seconds; from += 0.033) {
      const times = (rate: number) => {
        const first = Math.ceil(from * rate);
        return Array.from({ length: Math.ceil((from + 0.033) * rate) - first }, (_, i) => (first + i) / rate);
      };
      const force = times(rate_Hz);
      const moved = times(400);
      trail.append({
        force: { time_s: force, force_N: force.map((t) => t) },
        position: { time_s: moved, position_m: moved.map(position) },
      });
    }
    return trail;
  }

  it.each([80, 1000])('has the velocity of each force sample at %i samples a second', (rate_Hz) => {
    const trail = played(6, rate_Hz);
    expect(trail.time_s.at(-1)! - trail.time_s[0]!).toBeLessThan(2.6);
    expect(trail.time_s.length).toBeGreaterThan(1.9 * rate_Hz);
    for (const [i, t] of trail.time_s.entries()) {
      expect(trail.force_N[i]).toBe(t);
      const velocity = 1000 * 0.01 * 2 * Math.PI * Math.cos(2 * Math.PI * t);
      expect(Math.abs(trail.velocity_mm_per_s[i]! - velocity)).toBeLessThan(0.3);
    }
    expect(trail.time_s.every((t, i) => i === 0 || t > trail.time_s[i - 1]!)).toBe(true);
  });

  it('is empty after it was cleared, whatever waited', () => {
    const trail = played(1, 80);
    trail.clear();
    expect([trail.time_s, trail.velocity_mm_per_s, trail.force_N]).toEqual([[], [], []]);
  });
});

const so = (until_s: number, halfWidth: number | null): LiveEstimate => ({
  recordingId: 1,
  until_s,
  isLast: false,
  cycles: 9,
  cyclesWanted: null,
  refusal: null,
  quantities: [
    {
      quantity: 'friction_N',
      estimate:
        halfWidth === null
          ? null
          : { value: 1, standardError: halfWidth / 2, low95: 1 - halfWidth, high95: 1 + halfWidth },
      notYet: halfWidth === null ? 'too-few-cycles' : null,
      fastest_m_per_s: null,
    },
  ],
});

describe('an interval that narrows', () => {
  it('is drawn from where it is known, narrower and narrower between what is needed', () => {
    const known = knownOf([so(4, null), so(10, 0.1), so(20, 0.025)], 'friction_N');
    const { unknownUntil, band, line, needed } = narrowingPicture(known, 40, 0.1);
    expect(unknownUntil).toBe(0.25);
    expect(line).toEqual([
      [0.25, 0.5],
      [0.5, 0.5],
    ]);
    const [upperEarly, upperLate, lowerLate, lowerEarly] = band.map(([, y]) => y);
    expect(lowerEarly! - upperEarly!).toBeCloseTo(4 * (lowerLate! - upperLate!), 6);
    expect(needed![1] - needed![0]).toBeCloseTo(4 * (lowerLate! - upperLate!), 6);
  });

  it('that never was known is an empty picture', () => {
    expect(narrowingPicture([], 40, 0.1)).toEqual({ unknownUntil: 1, band: [], line: [], needed: null });
  });

  it('is sharp only when two estimates in a row say so', () => {
    const judged = (...halfWidths: (number | null)[]) =>
      sharpnessOf(
        halfWidths.map((halfWidth, i) => so(i + 1, halfWidth)),
        'friction_N',
        0.1,
      );
    expect(judged(null)).toBe('unknown');
    expect(judged(0.05)).toBe('coarse');
    expect(judged(0.2, 0.05)).toBe('coarse');
    expect(judged(0.2, 0.05, 0.04)).toBe('sharp');
    expect(judged(0.05, 0.04, 0.2)).toBe('coarse');
    expect(judged(0.05, 0.04, null)).toBe('unknown');
  });
});

const spreads = (
  relative: number,
  degreesOfFreedom: number,
  basis: RelativeSpreads['basis'] = 'remounts',
): RelativeSpreads => {
  const spread = { standardDeviation: relative, degreesOfFreedom };
  return { drag: spread, damping: spread, basis, remounts: basis === 'assumed' ? 0 : degreesOfFreedom + 2 };
};

describe('the number of remounts that follows from a question', () => {
  it('is one where nothing is decided and five for the rig itself', () => {
    const of = (id: SittingQuestionId) => sittingPlan(sittingQuestion(id), 15, spreads(0.03, 4)).remounts;
    expect((['look', 'stick', 'spring', 'travel', 'rig'] as const).map(of)).toEqual([1, 1, 1, 1, 5]);
  });

  it('comes with a procedure that the page can start, on a rig and on the practice rig', () => {
    for (const { procedure } of sittingQuestions) {
      const ways = apiProcedures.filter(({ name }) => name === procedure);
      expect(ways.some(({ practiceOnly }) => !practiceOnly)).toBe(true);
      expect(ways.some(({ needsDrive }) => needsDrive)).toBe(true);
    }
  });

  it('grows with the spread and falls with the difference that matters, from three to six', () => {
    for (const question of sittingQuestions.filter(
      ({ decides }) => decides === 'difference' || decides === 'tolerance',
    )) {
      const counts = [0.005, 0.02, 0.03, 0.05].map(
        (spread) => sittingPlan(question, 10, spreads(spread, 12)).remounts,
      );
      expect(counts).toEqual([...counts].sort((a, b) => a - b));
      expect(counts[0]).toBe(3);
      expect(counts.at(-1)).toBe(6);
      expect(sittingPlan(question, 40, spreads(0.05, 12)).remounts).toBeLessThan(6);
    }
  });

  it('counts on the upper limit of a spread that was measured, and takes an assumed one as it is', () => {
    const change = sittingQuestion('change');
    const measured = sittingPlan(change, 15, spreads(0.05, 4));
    const assumed = sittingPlan(change, 15, spreads(0.05, 4, 'assumed'));
    expect([measured.remounts, assumed.remounts]).toEqual([6, 4]);
    // Three remounts a side see 3.07 standard deviations between them (analysis/planning).
    expect(sittingPlan(change, 15, spreads(0.05, 4), 3).sees_percent).toBeCloseTo(15.35, 1);
    // Four degrees of freedom know a spread within 0.60 and 2.87 of it.
    expect(measured.atWorst_percent! / measured.sees_percent!).toBeCloseTo(2.87, 2);
  });

  it('is said with its reason, and what is out of reach is said to be', () => {
    const change = sittingQuestion('change');
    const say = (wanted: number, chosen?: number) =>
      sittingPlanSentences(
        change,
        wanted,
        sittingPlan(change, wanted, spreads(0.03, 12), chosen),
        spreads(0.03, 12),
      );
    expect(say(15)[0]).toBe(
      'Four remounts of each build: a difference of 7.1 % in drag is told from nothing four times in five.',
    );
    expect(say(15)[1]).toMatch(
      /^Remounts on this rig differ by 3.0 %, as 14 remounts show; at worst it is 12 %/,
    );
    expect(say(2)[0]).toMatch(/The 2 % that you want needs more\.$/);
    expect(say(15, 1)[0]).toMatch(/Two at least\.$/);
  });

  it('sets how sharp one recording has to be: never coarser than half the difference, never finer than a third of the spread', () => {
    for (const question of sittingQuestions)
      for (const relative of [0.002, 0.01, 0.03, 0.08])
        for (const remounts of [1, 3, 6]) {
          const needed = neededHalfWidth(question, 10, remounts, spreads(relative, 6), question.about, 2);
          expect(needed).toBeLessThanOrEqual(Math.max(0.05, (1.96 * relative) / 3) * 2 + 1e-6);
          expect(needed).toBeGreaterThanOrEqual((1.959 * relative * 2) / 3);
        }
  });
});

describe('after a recording', () => {
  const series = (change: Partial<Series>): Series => ({
    recordingId: 6,
    build: { id: 2, name: 'new seal', parentId: 1 },
    complete: new Set([4, 5, 6]),
    counterpart: { id: 1, parentId: null },
    asked: { question: 'change', wanted_percent: 15, remounts: 3 },
    analyses: [],
    ...change,
  });

  it('the next remount of the series comes first', () => {
    expect(nextInSeries(series({ complete: new Set([4]) }))).toEqual({ kind: 'remount', remount: 2, of: 3 });
    expect(nextRemountSentence(2, 3, false)).toMatch(/^Remount 2 of 3: take the shock off/);
  });

  it('a complete series leads to its answer, with the builds in the address and the old one as reference', () => {
    expect(nextInSeries(series({}))).toMatchObject({ to: { place: 'together', builds: [1, 2] } });
    expect(
      nextInSeries(
        series({ build: { id: 1, name: 'old seal', parentId: null }, counterpart: { id: 2, parentId: 1 } }),
      ),
    ).toMatchObject({ to: { builds: [1, 2] } });
    expect(
      nextInSeries(series({ asked: { question: 'oil', wanted_percent: 10, remounts: 3 } })),
    ).toMatchObject({ to: { place: 'next', question: 'oil', have: 2, target: 1 } });
  });

  it.each([
    ['spring', 'pull'],
    ['travel', 'sweep'],
  ] as const)('of a %s, the answer is read from that very recording', (question, field) => {
    expect(nextInSeries(series({ asked: { question, wanted_percent: 15, remounts: 1 } }))).toMatchObject({
      to: { place: 'next', question, typed: { [field]: '6' } },
    });
  });

  it('a change that was not made yet is to be made next', () => {
    expect(nextInSeries(series({ counterpart: null }))).toEqual({ kind: 'change' });
  });

  it('of the rig itself, the answer is what it can tell apart', () => {
    const next = nextInSeries(
      series({
        asked: { question: 'rig', wanted_percent: 15, remounts: 3 },
        analyses: [4, 5, 6].map(inventedAnalysis),
      }),
    );
    expect(next.kind === 'rig' && next.sentences[0]).toMatch(
      /^Drag: three remounts a side tell a difference of/,
    );
  });

  it('that nobody asked anything of, it is seen with its counterpart', () => {
    expect(nextInSeries(series({ asked: null }))).toMatchObject({
      to: { place: 'together', builds: [1, 2] },
    });
  });
});
