import { describe, expect, it } from 'vitest';
import { curvePointOf, type Estimate, estimateOf } from '../../analysis/index.js';
import { type ReportBuild, type ReportFacts, reportFile } from '../../dashboard/report/index.js';
import { ticksWithin } from '../../dashboard/report/ticks.js';
import { differenceSentence, nextStepSentences } from '../../dashboard/wording/index.js';

const estimate = (value: number): Estimate => estimateOf(value, 0.02);
const spread = { standardDeviation: 0.03, degreesOfFreedom: 4, basis: 'remounts' } as const;

function build(name: string, slope: number): ReportBuild {
  const curve = [-0.2, -0.1, -0.02, 0.02, 0.1, 0.2].map((v) => curvePointOf(v, estimate(slope * v)));
  return {
    name,
    shock: 'Invented shock',
    parent: null,
    change: '',
    parts: ['Oil: 350 cSt at 25 °C'],
    look: { colour: '#000000', dashes: '6 6', marker: 'M12.5 3.5h7v7h-7z' },
    curve,
    points: curve.map(({ velocity_m_per_s, force_N }) => ({ velocity_m_per_s, force_N })),
    drag_N: estimate(1),
    breakaway_N: null,
    recordings: [
      {
        remount: 1,
        startedAt: '2026-11-25T12:00:00Z',
        procedure: 'speed-ladder',
        temperature_degC: 24.5,
        rig: 'rig',
        simulated: false,
      },
    ],
    warnings: [],
  };
}

const facts: ReportFacts = {
  madeAt: '2026-11-25T18:00:00Z',
  version: '0.1.0',
  methodVersion: '7',
  units: { force: 'N', length: 'mm' },
  kind: 'total',
  at_degC: null,
  answer: {
    reference: 'Old seal',
    comparisons: [
      {
        name: 'New seal',
        temperature_degC: 24.5,
        remounts: { before: 3, after: 3 },
        differences: [
          {
            quantity: 'friction_N',
            before: estimate(1.4),
            after: estimate(1),
            difference: estimate(-0.4),
            verdict: 'lower',
            familyVerdict: 'lower',
            resolvable: 0.11,
            spread,
            plan: null,
          },
        ],
      },
    ] as unknown as NonNullable<ReportFacts['answer']>['comparisons'],
    temperature_degC: 24.5,
    matters_percent: 10,
    family: { comparisons: 1, cost: 1 },
  },
  builds: [build('Old seal', 20), build('New seal', 18)],
  rigs: [{ name: 'rig', calibration: { version: 2, madeAt: '2026-11-03T09:00:00Z' }, check: null }],
};

/** Attributes and rules that make a browser fetch. */
const fetching = /\b(src|href|srcset|action|poster|data|ping|background)\s*=|url\(|@import|https?:|\/\//i;

describe('a report', () => {
  const file = reportFile(facts);

  it('says the finding, the verdict with its reason, what to do, what changed, the rig, the version and the day', () => {
    const [difference] = facts.answer!.comparisons[0]!.differences;
    const names = { before: 'Old seal', after: 'New seal' };
    for (const said of [
      `<h1>${differenceSentence(difference!, { names })}</h1>`,
      '▼ lower</td>',
      '<td>all below zero</td>',
      'What to do next',
      'First build of Invented shock. Oil: 350 cSt at 25 °C.',
      'One remount on 25 Nov 2026, speed ladder, 24.5 °C.',
      'Rig rig: calibration 2 of 3 Nov 2026 is in force. It has no check standard',
      'method version 7',
      'Made 25 Nov 2026',
    ])
      expect(file).toContain(said);
  });

  it('fetches nothing, runs nothing, and forbids both', () => {
    expect(file).not.toMatch(fetching);
    expect(file).not.toMatch(/<(script|link|iframe|object|embed|img|image|use|foreignObject)\b|\son\w+=/i);
    expect(file).toContain('content="default-src &#39;none&#39;; style-src &#39;unsafe-inline&#39;;');
  });

  it('would be caught fetching', () => {
    for (const fault of ['<img src="x.png">', '<a href="a">', 'fill="url(#a)"', '@import "a.css"'])
      expect(file.replace('<footer>', `${fault}<footer>`)).toMatch(fetching);
  });

  it('takes every text for text', () => {
    const name = '<script>alert("1")</script> & \'co\'';
    const written = reportFile({
      ...facts,
      builds: [facts.builds[0]!, { ...build(name, 18), change: name, parent: name, warnings: [name] }],
      answer: { ...facts.answer!, comparisons: facts.answer!.comparisons.map((one) => ({ ...one, name })) },
    });
    expect(written).not.toContain('<script');
    expect(
      written.split('&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; &#39;co&#39;').length,
    ).toBeGreaterThan(6);
  });

  it('asks for oil or drill only where damping differs by more than matters', () => {
    const [comparison] = facts.answer!.comparisons;
    const damped = (before: number, after: number) => ({
      ...facts.answer!,
      comparisons: [
        {
          ...comparison!,
          differences: [
            {
              ...comparison!.differences[0]!,
              quantity: 'damping.compression@0.10',
              before: estimate(before),
              difference: estimate(after - before),
            },
          ],
        },
      ],
    });
    expect(nextStepSentences(damped(10, 8), false)[0]).toMatch(/by up to 20 %: .*which oil or which drill/);
    expect(nextStepSentences(damped(10, 9.7), false)[0]).toMatch(
      /by up to 3\.0 %, less than the 10 % that matter: leave it as it is\.$/,
    );
  });

  it('is told in the units chosen, numbers and picture', () => {
    const inches = reportFile({ ...facts, units: { force: 'lbf', length: 'in' } });
    expect(inches).toContain('Velocity, in/s');
    expect(inches).toContain('Drag, lbf');
    expect(inches).not.toMatch(/\d N\b|mm\/s/);
  });

  it('of builds that were hardly measured is whole all the same', () => {
    const bare = { ...build('Bare', 20), curve: [], points: [], drag_N: null, recordings: [] };
    const alone = reportFile({ ...facts, answer: null, builds: [bare], rigs: [] });
    expect(alone).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(alone).toContain('<h1>Bare.</h1>');
    expect(alone).toContain('<td>Not measured.</td>');
  });
});

describe('ticks', () => {
  it('are round numbers that the range holds', () => {
    expect(ticksWithin(-9.6, 10.4, 4).values).toEqual([-5, 0, 5, 10]);
    expect(ticksWithin(0, 0.7, 7).values).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]);
    expect(ticksWithin(1, 1, 5).values).toEqual([]);
  });
});
