import { beforeAll, describe, expect, it } from 'vitest';
import {
  analyzeRecording,
  compareBuilds,
  curveAt,
  curvePointOf,
  type Estimate,
  estimateOf,
  makeTrace,
  type RecordingAnalysis,
  remountMeans,
} from '../../analysis/index.js';
import { readTraceCsv } from '../../daq/index.js';
import {
  type DragPart,
  dragAlong,
  overlayOf,
  overlayPoints,
  type PlacedRecording,
} from '../../dashboard/answers/index.js';
import { thinPicture } from '../../dashboard/workers/analysis-body.js';
import { ladderCsv } from './ladder-csv.js';

const asMeasured = { kind: 'total', at_degC: null } as const;
let draggy: PlacedRecording[];
let slick: PlacedRecording[];

async function placed(drag_N: number, seed: number, temperature_degC: number): Promise<PlacedRecording> {
  const bytes = new TextEncoder().encode(ladderCsv({ drag_N, seed, damping_Ns_per_m: 20 }));
  const { trace } = await readTraceCsv({ name: 'ladder.csv', bytes });
  const made = makeTrace(trace);
  const outcome = made.ok ? analyzeRecording(made.trace) : made;
  if (!outcome.ok) throw new Error('a ladder that is not analysed');
  const picture = thinPicture(outcome.picture);
  return { analysis: { ...outcome.analysis, temperature_degC }, ...picture };
}

beforeAll(async () => {
  draggy = [await placed(1.4, 1, 22), await placed(1.44, 2, 22)];
  slick = [await placed(1, 3, 24), await placed(1.02, 4, 24)];
});

describe('builds seen over each other', () => {
  it('are, as measured, the means over their remounts at the speeds of the first of them', () => {
    const expected = [draggy, slick].map((remounts, own) =>
      remounts[0]!.total.flatMap(({ velocity_m_per_s }) => {
        const sides = [draggy, slick].map((side) =>
          side.flatMap(({ total }) => curveAt(total, velocity_m_per_s) ?? []),
        );
        const reaching = sides.filter(({ length }) => length === 2);
        const at = reaching.indexOf(sides[own]!);
        return at < 0 ? [] : [curvePointOf(velocity_m_per_s, remountMeans(reaching)[at]!)];
      }),
    );
    expect(overlayOf([draggy, slick], asMeasured).curves()).toEqual(expected);
  });

  describe('with curves that are straight', () => {
    const along = (offset_N: number, speeds = [-0.2, -0.1, 0.1, 0.2]): PlacedRecording => ({
      ...draggy[0]!,
      total: speeds.map((v) => curvePointOf(v, estimateOf(30 * v + Math.sign(v) + offset_N, 0.1 / 1.96))),
    });

    it('lie in the middle of their remounts', () => {
      const [mean] = overlayOf([[along(-0.5), along(0.5)]], asMeasured).curves();
      expect(mean!.map((point) => point.force_N)).toEqual([-7, -4, 4, 7]);
      expect(mean![0]!.high95_N - mean![0]!.low95_N).toBeGreaterThan(0.2);
    });

    it('end where the shortest remount ends', () => {
      const [mean] = overlayOf([[along(0), along(0, [-0.1, 0.1, 0.2])]], asMeasured).curves();
      expect(mean!.map((point) => point.velocity_m_per_s)).toEqual([-0.1, 0.1, 0.2]);
    });
  });

  it.each([
    [undefined, undefined],
    [35, { relative: 0.03, degreesOfFreedom: 12 }],
  ])(
    'differ by what their comparison says, at its speeds and its temperature, with what the rig has learnt: %s, %o',
    (at_degC, known) => {
      const { differences, temperature_degC } = compareBuilds(
        analysesOf(draggy),
        analysesOf(slick),
        known,
        at_degC,
      );
      expect(temperature_degC).toBe(at_degC ?? 23);
      const options = { kind: 'damping', at_degC: temperature_degC, known } as const;
      for (const direction of [1, -1]) {
        const quantity = `damping.${direction > 0 ? 'compression' : 'rebound'}@0.10`;
        const compared = differences.find((entry) => entry.quantity === quantity)!;
        const overlay = overlayOf([draggy, slick], options);
        expect(overlay.forcesAt(0.1 * direction).map((force) => Math.abs(force!.value))).toEqual([
          expect.closeTo(compared.before.value, 12),
          expect.closeTo(compared.after.value, 12),
        ]);
        const [difference] = overlay.differencesAt(0.1 * direction) as [Estimate];
        for (const key of ['value', 'standardError', 'low95', 'high95'] as const)
          expect(difference[key]).toBeCloseTo(compared.difference[key], 12);
      }
    },
  );

  it('of which one drags less have a difference below zero in both directions', () => {
    const [difference] = overlayOf([draggy, slick], { kind: 'drag', at_degC: null }).differences();
    for (const { force_N, low95_N, high95_N } of difference!) {
      expect(force_N).toBeCloseTo(-0.4, 1);
      expect([low95_N < force_N, high95_N < 0]).toEqual([true, true]);
    }
  });

  it('have warmer oil read as thinner, and drag as it is', () => {
    const forces = [22, 30].map(
      (at_degC) => overlayOf([draggy], { kind: 'damping', at_degC }).forcesAt(0.1)[0]!.value,
    );
    expect(forces[1]! / forces[0]!).toBeGreaterThan(0.8);
    expect(forces[1]! / forces[0]!).toBeLessThan(0.9);
    const [drag, warmDrag] = [null, 30].map((at_degC) =>
      overlayOf([draggy], { kind: 'drag', at_degC }).curves(),
    );
    expect(warmDrag).toEqual(drag);
  });

  it('are not read beyond what every remount reached', () => {
    for (const kind of ['total', 'damping'] as const)
      expect(overlayOf([draggy], { kind, at_degC: null }).forcesAt(0.5)).toEqual([null]);
  });

  it('have points behind them that lie about their curves', () => {
    const [recording] = draggy as [PlacedRecording];
    for (const kind of ['total', 'damping', 'drag'] as const) {
      const options = { kind, at_degC: null };
      const points = overlayPoints(recording, recording.points, options);
      const { forcesAt } = overlayOf([[recording]], options);
      const off = points.flatMap((force_N, i) => {
        const velocity = recording.points.velocity_m_per_s[i]!;
        const [force] = i % 10 === 0 && Math.abs(velocity) > 0.02 ? forcesAt(velocity) : [null];
        return force ? [force_N - force.value] : [];
      });
      expect(off.length).toBeGreaterThan(100);
      expect(Math.abs(off.reduce((sum, value) => sum + value, 0) / off.length)).toBeLessThan(0.01);
    }
  });
});

describe('drag against position', () => {
  const away = (drag_N: number, from: number) => Math.abs(drag_N - from);

  it('is the drag of each build all along the travel, both ways', () => {
    const [first, second] = dragAlong([draggy, slick]) as [DragPart[], DragPart[]];
    expect(first.map(({ position_m }) => position_m)).toEqual(second.map(({ position_m }) => position_m));
    const middle = (parts: DragPart[]) => parts.slice(2, -2);
    for (const { compression_N, rebound_N } of middle(first))
      for (const drag of [compression_N!, rebound_N!]) expect(away(drag.value, 1.42)).toBeLessThan(0.06);
    for (const { compression_N, rebound_N } of middle(second))
      for (const drag of [compression_N!, rebound_N!]) expect(away(drag.value, 1.01)).toBeLessThan(0.06);
  });

  it('shows a tight place where it is', () => {
    const tight = draggy.map((recording) => {
      const { velocity_m_per_s, position_m, frictional_N } = recording.points;
      const bumped = frictional_N.map((force_N, i) =>
        Math.abs(position_m[i]! - 0.012) < 0.001 ? force_N + 0.5 * Math.sign(velocity_m_per_s[i]!) : force_N,
      );
      return { ...recording, points: { ...recording.points, frictional_N: bumped } };
    });
    const [along] = dragAlong([tight]);
    const highest = along!.toSorted((a, b) => b.rebound_N!.value - a.rebound_N!.value)[0]!;
    expect(Math.abs(highest.position_m - 0.012)).toBeLessThan(0.001);
  });

  it('is nothing where nothing slid', () => {
    const [recording] = draggy as [PlacedRecording];
    const still = recording.points.velocity_m_per_s.map(() => 0);
    expect(dragAlong([[{ ...recording, points: { ...recording.points, velocity_m_per_s: still } }]])).toEqual(
      [[]],
    );
  });
});

const analysesOf = (remounts: readonly PlacedRecording[]): RecordingAnalysis[] =>
  remounts.map(({ analysis }) => analysis);
