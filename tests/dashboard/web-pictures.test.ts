import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { RecordingPicture } from '../../analysis/index.js';
import { spreadApart } from '../../dashboard/report/index.js';
import type { ApiBuild } from '../../dashboard/server/api.js';
import { lineageOf } from '../../dashboard/web/builds/lineage.js';
import { fastestLoop } from '../../dashboard/web/charts/stroke-loop.js';
import { thinPicture } from '../../dashboard/workers/analysis-body.js';

describe('labels at the ends of lines', () => {
  it('stay where they are when there is room', () => {
    expect(spreadApart([10, 50, 90], 18)).toEqual([10, 50, 90]);
  });

  it('that would touch move apart evenly, in the order of their lines', () => {
    expect(spreadApart([50, 51], 18)).toEqual([41.5, 59.5]);
  });

  it('stay within the picture, where there is room for so many', () => {
    expect(spreadApart([80, 84, 90], 18, [0, 100])).toEqual([64, 82, 100]);
    expect(spreadApart([2, 4], 18, [0, 100])).toEqual([0, 18]);
  });

  it('never touch and never swap, however they lie', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -500, max: 500, noNaN: true }), { maxLength: 12 }), (values) => {
        const placed = spreadApart(values, 18);
        const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
        for (let n = 1; n < order.length; n++)
          expect(placed[order[n]!]! - placed[order[n - 1]!]!).toBeGreaterThanOrEqual(18 - 1e-9);
      }),
    );
  });
});

describe('the loop drawn in front', () => {
  /** Two slow cycles, then two fast ones, of a force that is 2 N against the motion, measured 0.1 N too high. */
  const speeds = [1, 1, 3, 3];
  const points = speeds.flatMap((speed) =>
    Array.from({ length: 40 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 40;
      return {
        position: -0.01 * Math.cos(angle),
        velocity: 0.01 * speed * Math.sin(angle),
        force: 2 * Math.sign(Math.sin(angle)) + 0.1,
      };
    }),
  );
  const picture = {
    time_s: points.map((_, i) => i / 40),
    position_m: points.map(({ position }) => position),
    velocity_m_per_s: points.map(({ velocity }) => velocity),
    force_N: points.map(({ force }) => force),
    residual_N: points.map(() => 0.1),
    frictional_N: points.map(({ force }) => force),
  };

  it('is the fastest whole cycle, closed, as fitted', () => {
    const loop = fastestLoop(picture)!;
    expect(loop.peakVelocity_m_per_s).toBeCloseTo(0.03, 12);
    expect(loop.position_m.length).toBe(41);
    expect(loop.position_m.at(-1)).toBeCloseTo(loop.position_m[0]!, 12);
    expect(Math.max(...loop.force_N)).toBeCloseTo(2, 12);
  });

  it('is none where no whole cycle was measured', () => {
    const part = Object.fromEntries(
      Object.entries(picture).map(([key, values]) => [key, values.slice(0, 20)]),
    ) as unknown as typeof picture;
    expect(fastestLoop(part)).toBeNull();
  });
});

describe('a lineage', () => {
  const build = (id: number, parentId: number | null): ApiBuild => ({
    id,
    shockId: 1,
    name: `build ${id}`,
    parentId,
    change: '',
    said: '',
    note: '',
    parts: [],
    changes: [],
    photos: [],
    recordings: [],
  });

  it('puts each build below its parent, siblings oldest first', () => {
    const entries = lineageOf([build(1, null), build(2, 1), build(3, 1), build(4, 2), build(5, null)]);
    expect(entries.map(({ build: { id }, depth }) => [id, depth])).toEqual([
      [1, 0],
      [2, 1],
      [4, 2],
      [3, 1],
      [5, 0],
    ]);
  });
});

describe('a picture for the page', () => {
  it('has at most 2000 points, spread over the whole recording, and the curve untouched', () => {
    const ramp = Float64Array.from({ length: 4801 }, (_, i) => i / 3);
    const total = [
      { velocity_m_per_s: 0.1, force_N: 1 / 3, standardError_N: 0.1, low95_N: 0.1, high95_N: 0.5 },
    ];
    const points = Object.fromEntries(
      ['time_s', 'position_m', 'velocity_m_per_s', 'force_N', 'residual_N', 'frictional_N'].map((key) => [
        key,
        ramp,
      ]),
    ) as unknown as RecordingPicture['points'];
    const thinned = thinPicture({ points, total });
    expect(thinned.points.force_N).toHaveLength(1601);
    expect(thinned.points.force_N[1]).toBe(1);
    expect(thinned.points.time_s.at(-1)).toBe(1600);
    expect(thinned.total).toEqual(total);
  });
});
