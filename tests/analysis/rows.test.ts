import { describe, expect, it } from 'vitest';
import { travelSinceReversal } from '../../analysis/identification/columns.js';
import { identify } from '../../analysis/identification/identify.js';
import { recordedMotion } from '../../analysis/identification/prepare.js';
import type { FitProblem, Shape, ShapeName } from '../../analysis/identification/problem.js';
import { repeatedShare } from '../../analysis/identification/repeats.js';
import { type Reading, RowReader } from '../../analysis/identification/rows.js';
import { clustersOf, usableSamples } from '../../analysis/identification/samples.js';
import { randomFrom } from './played/random.js';
import { playLadder } from './played/recording.js';

const steps: Readonly<Record<ShapeName, (shape: Shape, by: number) => Shape>> = {
  presliding: (shape, by) => ({ ...shape, presliding_m: shape.presliding_m * Math.exp(by) }),
  excess: (shape, by) => ({ ...shape, breakawayExcess: shape.breakawayExcess + by }),
  stribeck: (shape, by) => ({ ...shape, stribeckSpeed_m_per_s: shape.stribeckSpeed_m_per_s * Math.exp(by) }),
  start: (shape, by) => ({ ...shape, startState: shape.startState + by }),
  lag: (shape, by) => ({ ...shape, lag_s: shape.lag_s + by }),
  deadStroke: (shape, by) => ({ ...shape, deadStroke_m: shape.deadStroke_m * Math.exp(by) }),
  airPower: (shape, by) => ({ ...shape, airPower: shape.airPower * Math.exp(by) }),
  stop: (shape, by) => ({ ...shape, stop_m: shape.stop_m + by }),
};

/** A recording as it was identified, and then with a stop and with air, whatever its force says. */
function identified(kernel: 'none' | 'sinc4') {
  const { trace } = playLadder(3, { rate_Hz: 160, kernel });
  const told = { ...trace, rig: { ...trace.rig, kernel } };
  const moved = recordedMotion(told);
  if (!moved.ok) throw new Error(moved.refusal.found);
  const { motion } = moved;
  const { counts } = usableSamples(told, motion);
  const { problem, fit } = identify(told, motion, counts, clustersOf(told.force.time_s, motion))!;
  const { grid, span } = problem;
  const stopped: FitProblem = {
    ...problem,
    features: { travel_m: null, atCeiling: null, stopSide: 1 },
    terms: [...problem.terms, 'stop'],
    shapes: ['stop'],
  };
  const aired: FitProblem = {
    ...stopped,
    features: { ...stopped.features, travel_m: travelSinceReversal(grid.position_m) },
    shapes: ['deadStroke', 'airPower'],
  };
  const shape = { ...fit.shape, stop_m: 0.2 * span.low_m + 0.8 * span.high_m };
  return {
    problem,
    fit,
    stopped,
    aired,
    shape,
    coefficients: Float64Array.of(...fit.coefficients, 3000),
    motion,
  };
}

/** All columns but the force at samples taken so sparsely, by sample. */
function rowsBySample(
  problem: FitProblem,
  shape: Shape,
  coefficients: Float64Array,
  stride: number,
  reading: Reading = 'counting',
) {
  const bySample = new Map<number, number[]>();
  const columns = [...problem.terms, ...problem.shapes].map((_, j) => j);
  for (const rows of new RowReader(problem).rows(shape, coefficients, stride, reading)) {
    const { values, capacity, live, sample, count } = rows;
    for (let r = 0; r < count; r++)
      bySample.set(
        sample[r]!,
        columns.map((j) => (live.includes(j) ? values[j * capacity + r]! : 0)),
      );
  }
  return bySample;
}

/** One column at all samples. */
function column(problem: FitProblem, shape: Shape, coefficients: Float64Array, at: number): number[] {
  const values: number[] = [];
  for (const rows of new RowReader(problem).rows(shape, coefficients, 1))
    values.push(...rows.values.subarray(at * rows.capacity, at * rows.capacity + rows.count));
  return values;
}

/** What all terms add up to at all samples. */
function whole(problem: FitProblem, shape: Shape, coefficients: Float64Array): number[] {
  const values: number[] = [];
  for (const rows of new RowReader(problem, [coefficients]).rows(shape, null, 1))
    values.push(...rows.values.subarray(0, rows.count));
  return values;
}

const length = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));

describe.each(['none', 'sinc4'] as const)('rows of a fit, converter %s', (kernel) => {
  const { problem, fit, stopped, aired, shape, coefficients, motion } = identified(kernel);

  it.each([...problem.shapes, 'stop', ...aired.shapes] as const)('hold the derivative by %s', (name) => {
    const full = name === 'stop' ? stopped : aired.shapes.includes(name) ? aired : problem;
    const under = coefficients.subarray(0, full.terms.length);
    const at = full.terms.length + full.shapes.indexOf(name);
    const derivative = column(full, shape, under, at);
    const by = name === 'lag' ? 0.25 * full.grid.step_s : name === 'stop' ? 1e-7 : 1e-4;
    const more = whole(full, steps[name](shape, by), under);
    const less = whole(full, steps[name](shape, -by), under);
    const differences = more.map((value, i) => (value - less[i]!) / (2 * by));
    expect(length(differences)).toBeGreaterThan(0);
    const off = length(differences.map((value, i) => value - derivative[i]!));
    expect(off / length(differences)).toBeLessThan(0.02);
  });

  it('are the same at samples taken more sparsely, and samples that do not count have none', () => {
    const counts = problem.counts.map((value, i) => (i > 900 && i < 2100 ? 0 : value));
    const holed = { ...problem, counts };
    const every = rowsBySample(holed, fit.shape, fit.coefficients, 1);
    const some = rowsBySample(holed, fit.shape, fit.coefficients, 7);
    expect([...every.keys()].filter((i) => !counts[i])).toEqual([]);
    expect([...some.keys()]).toEqual([...every.keys()].filter((i) => i % 7 === 0));
    for (const [i, row] of some) expect(row).toEqual(every.get(i));
  });

  const atCeiling = aired.grid.velocity_m_per_s.map((v) => (v > 0.1 ? 1 : 0));
  /** All that a shock may do, and a stop at either end. */
  const everything = ([1, -1] as const).map(
    (stopSide): FitProblem => ({
      ...aired,
      features: { ...aired.features, atCeiling, stopSide },
      terms: [...aired.terms, 'ceiling', 'ceilingRise'],
      shapes: [...problem.shapes, 'stop', 'deadStroke', 'airPower'],
    }),
  );
  const weights = Float64Array.from(everything[0]!.terms, (_, j) => 0.3 + 0.1 * j);

  it('are the same, in another order, sorted by which way friction slides, most columns of which are none', () => {
    for (const full of everything) {
      const columns = full.terms.length + full.shapes.length;
      const every = rowsBySample(full, shape, weights, 1);
      const sorted = rowsBySample(full, shape, weights, 1, 'sorted');
      expect([...sorted.keys()].toSorted((a, b) => a - b)).toEqual([...every.keys()]);
      for (let j = 0; j < columns; j++) {
        const off = [...sorted].map(([i, row]) => Math.abs(row[j]! - every.get(i)![j]!));
        expect(Math.max(...off)).toBeLessThan(1e-12);
        expect([...every.values()].some((row) => row[j] !== 0)).toBe(true);
      }
      let sliding = 0;
      for (const { live, count } of new RowReader(full).rows(shape, weights, 1, 'sorted'))
        if (live.length < 0.75 * columns) sliding += count;
      expect(sliding / every.size).toBeGreaterThan(0.1);
    }
  });

  it('are read anew after a reading that was given up', () => {
    const count = (reader: RowReader) => {
      let rows = 0;
      for (const some of reader.rows(fit.shape, fit.coefficients, 1, 'sorted')) rows += some.count;
      return rows;
    };
    const reader = new RowReader(problem);
    let begun = 0;
    for (const _ of reader.rows(fit.shape, fit.coefficients, 1, 'sorted')) if (++begun === 4) break;
    expect(count(reader)).toBe(count(new RowReader(problem)));
  });

  it('add up to the force of all terms, whatever a shock does', () => {
    for (const full of everything) {
      const sums = whole(full, shape, weights);
      const added = [...rowsBySample(full, shape, weights, 1).values()].map((row) =>
        weights.reduce((sum, weight, j) => sum + weight * row[j]!, 0),
      );
      expect(Math.max(...sums)).toBeGreaterThan(1);
      expect(Math.max(...added.map((sum, i) => Math.abs(sum - sums[i]!)))).toBeLessThan(1e-10);
    }
  });

  it('leave what comes back with the motion apart from what does not', () => {
    const { strokes } = motion.strokes;
    const shareWith = (more_N: (time_s: number) => number) => {
      const force_N = problem.force_N.map((value, i) => value + more_N(problem.time_s[i]!));
      return repeatedShare({ ...problem, force_N }, fit, strokes, 1);
    };
    const random = randomFrom(5);
    let wandering_N = 0;
    const walk = () => {
      wandering_N += 5e-3 * random.normal() - 0.02 * wandering_N;
      return wandering_N;
    };
    expect(shareWith(walk)).toBeLessThan(0.2);
    const pressed = (time_s: number) => {
      const { start_s, end_s } = strokes.find((stroke) => stroke.end_s > time_s) ?? strokes.at(-1)!;
      return Math.max(0, (time_s - start_s) / (end_s - start_s) - 0.8);
    };
    expect(shareWith(pressed)).toBeGreaterThan(0.7);
  });

  if (kernel === 'none')
    it('are made at the samples as they would be read off columns on the grid', () => {
      const { step_s, velocity_m_per_s } = aired.grid;
      const full: FitProblem = {
        ...aired,
        features: { ...aired.features, atCeiling: velocity_m_per_s.map((v) => (v > 0.1 ? 1 : 0)) },
        terms: [...aired.terms, 'ceiling', 'ceilingRise'],
        shapes: ['presliding', 'excess', 'stribeck', 'deadStroke'],
      };
      const under = Float64Array.of(...coefficients, 2, 0.5);
      const here = rowsBySample(full, shape, under, 1);
      // A running mean of one grid step only delays by half of it.
      const onGrid: FitProblem = { ...full, averagings: 1, width: 1 };
      const there = rowsBySample(onGrid, { ...shape, lag_s: shape.lag_s - 0.5 * step_s }, under, 1);
      expect([...here.keys()]).toEqual([...there.keys()]);
      [...full.terms, ...full.shapes].forEach((name, j) => {
        const [a, b] = [here, there].map((rows) => [...rows.values()].map((row) => row[j]!)) as [
          number[],
          number[],
        ];
        const off = length(a.map((value, i) => value - b[i]!)) / length(b);
        expect(off, name).toBeLessThan(0.02);
      });
    });
});
