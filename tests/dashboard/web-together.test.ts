import { describe, expect, it } from 'vitest';
import { curvePointOf, estimateOf } from '../../analysis/index.js';
import { csvOf, heading } from '../../dashboard/web/charts/picture-table.js';
import { loopNear, loopSpeeds_m_per_s } from '../../dashboard/web/charts/stroke-loop.js';
import { typedNumbers } from '../../dashboard/web/pieces/typed-numbers.js';
import { isInView, viewIn, viewParts } from '../../dashboard/web/together/view.js';
import { differenceReachSentence, displayScale, dragAlongSentence } from '../../dashboard/wording/index.js';

describe('how builds are looked at', () => {
  const query = 'show=drag&side=rebound&from=20&to=150&deg=-5&hide=3,4&speeds=50,88.9&loops=29,111&report';

  it('comes back from the address whole', () => {
    expect(viewParts(viewIn(new URLSearchParams(query))).join('&')).toBe(query);
    expect(viewParts(viewIn(new URLSearchParams('')))).toEqual([]);
  });

  it('leaves out of an address what makes no sense', () => {
    const view = viewIn(new URLSearchParams('show=all&from=-3&deg=NaN&hide=x,2&speeds=,,&to='));
    expect(viewParts(view)).toEqual(['hide=2']);
  });

  it('draws the speeds and the direction chosen', () => {
    const view = viewIn(new URLSearchParams(query));
    expect([-0.1, 0.1, -0.01, -0.2].map((velocity) => isInView(velocity, view))).toEqual([
      true,
      false,
      false,
      false,
    ]);
  });
});

describe('typed numbers', () => {
  it.each([
    ['50 100 200', [50, 100, 200]],
    ['2; 3,5', [2, 3.5]],
    ['50, 100, 200', [50, 100, 200]],
    ['35,5', [35.5]],
    ['  ', []],
    ['fast', null],
  ])('%s', (text, numbers) => {
    expect(typedNumbers(text)).toEqual(numbers);
  });
});

describe('a picture as CSV', () => {
  it('has quotes where they are needed, nothing for no number, and no formula', () => {
    const columns = [
      'build',
      heading('force_low95', displayScale('force')),
      heading('v', displayScale('velocity')),
    ];
    const rows = [
      ['a "soft", one', 1 / 3, null],
      ['=1+1', Number.NaN, -2],
    ];
    expect(csvOf({ columns, rows })).toBe(
      'build,force_low95_N,v_mm_per_s\r\n"a ""soft"", one",0.3333333,\r\n\'=1+1,,-2\r\n',
    );
  });
});

describe('loops at chosen speeds', () => {
  const loops = [0.029, 0.0295, 0.11, 0.112, 0.234].map((peakVelocity_m_per_s) => ({
    position_m: [],
    force_N: [],
    peakVelocity_m_per_s,
  }));

  it('are offered once a speed', () => {
    expect(loopSpeeds_m_per_s(loops)).toEqual([0.029, 0.11, 0.234]);
  });

  it('are the nearest, and none where nothing was driven so fast', () => {
    expect(loopNear(loops, 0.111)!.peakVelocity_m_per_s).toBeCloseTo(0.111, 2);
    expect(loopNear(loops, 0.17)).toBeNull();
  });
});

describe('the sentence of a difference', () => {
  const points = (...forces: number[]) =>
    [-0.2, -0.1, 0.1, 0.2].map((v, i) => curvePointOf(v, estimateOf(forces[i]!, 0.1)));
  const sides = { name: 'New seal', reference: 'Old seal', kind: 'total' } as const;

  it('says where one has less or more, and where it could be zero', () => {
    expect(differenceReachSentence(sides, points(-1, -1, -1, -1))).toBe(
      'New seal has less drag and damping together than Old seal at every speed.',
    );
    expect(differenceReachSentence(sides, points(0, 0, 0, 0))).toBe(
      'New seal against Old seal: the difference in drag and damping could be zero at every speed.',
    );
    expect(differenceReachSentence(sides, points(0, 0, -1, 0))).toBe(
      'New seal against Old seal, drag and damping: in compression less up to 100 mm/s, could be zero from 200 mm/s on; in rebound could be zero at every speed.',
    );
    expect(differenceReachSentence(sides, [])).toBe('New seal and Old seal have no speed in common.');
  });
});

describe('the sentence of drag along the travel', () => {
  const along = (...drags: number[]) =>
    drags.map((drag, i) => ({
      position_m: 0.002 * (i + 1),
      compression_N: estimateOf(drag, 0.02),
      rebound_N: null,
    }));

  it('names the build and the place where it stands out, and only there', () => {
    const even = { name: 'Even', along: along(1, 1.02, 1) };
    expect(dragAlongSentence([even])).toBe(
      'Drag is even along the travel: no part of it stands out of its interval.',
    );
    expect(dragAlongSentence([even, { name: 'Tight', along: along(1, 1.5, 1) }])).toBe(
      'Most uneven is Tight: its drag goes from 1.00 to 1.50 N along the travel, highest at 4 mm.',
    );
    expect(dragAlongSentence([{ name: 'None', along: [] }])).toBeNull();
  });
});
