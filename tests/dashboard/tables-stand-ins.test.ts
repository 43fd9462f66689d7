import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import danfojs from 'danfojs-node';
import { describe, expect, it } from 'vitest';

const require = createRequire(import.meta.url);
const tensors = require('@tensorflow/tfjs-node');
const mathjs = require('mathjs');
const sources = sourcesOf(join(require.resolve('danfojs-node'), '../../..'));

describe('the stand-ins offer all that danfojs calls', () => {
  it.each([
    ['the tensor library', /tensorflowlib_1\.default\.(\w+)/g, tensors, 6],
    ['mathjs', /mathjs_1\.(\w+)/g, mathjs, 5],
  ])('of %s', (_, use, standIn, atLeast) => {
    const called = new Set(sources.flatMap((source) => [...source.matchAll(use)].map((match) => match[1]!)));
    expect(called.size).toBeGreaterThanOrEqual(atLeast);
    for (const name of called) expect(standIn).toHaveProperty(name);
  });

  it('and refuse what this program never does: fetch', () => {
    expect(() => require('request').get('http://127.0.0.1/')).toThrow('Nothing is fetched');
    expect(() => require('node-fetch')('http://127.0.0.1/')).toThrow('Nothing is fetched');
  });
});

describe('frame arithmetic through tensor-lite', () => {
  const frame = new danfojs.DataFrame([
    [1, -2],
    [3, 4],
  ]);

  it('is float64', () => {
    const wide = new danfojs.DataFrame([[16_777_217, 0.1]]);
    expect(wide.add(wide).values).toEqual([[33_554_434, 0.2]]);
  });

  it('does the four operations, powers and remainders, with numbers, frames, rows and columns', () => {
    expect(frame.add(1).values).toEqual([
      [2, -1],
      [4, 5],
    ]);
    expect(frame.sub(frame).values).toEqual([
      [0, 0],
      [0, 0],
    ]);
    expect(frame.mul([10, 100], { axis: 0 }).values).toEqual([
      [10, -20],
      [300, 400],
    ]);
    expect(frame.mul([10, 100], { axis: 1 }).values).toEqual([
      [10, -200],
      [30, 400],
    ]);
    expect(frame.div(2).values).toEqual([
      [0.5, -1],
      [1.5, 2],
    ]);
    expect(frame.pow(2).values).toEqual([
      [1, 4],
      [9, 16],
    ]);
    expect(frame.mod(3).values).toEqual([
      [1, 1],
      [0, 1],
    ]);
  });

  it('compares', () => {
    expect(frame.gt(1).values).toEqual([
      [false, false],
      [true, true],
    ]);
    expect(frame.le(frame).values).toEqual([
      [true, true],
      [true, true],
    ]);
    expect(frame.ne(4).values).toEqual([
      [true, true],
      [true, false],
    ]);
  });

  it('takes differences and shares of the row above', () => {
    expect((frame.diff(1) as typeof frame).values[1]).toEqual([2, 6]);
    expect((frame.pctChange(1) as typeof frame).values[1]).toEqual([2, -3]);
  });

  it('refuses lengths that do not match and cells that are not numbers', () => {
    expect(() => tensors.tensor1d([1, 2]).add(tensors.tensor1d([1, 2, 3]))).toThrow('2 and 3 do not match');
    expect(() => tensors.tensor1d([1, null])).toThrow('holds numbers, not null');
    expect(() => tensors.tensor2d([[1, 2], [3]])).toThrow('do not fill');
  });

  it('finds the place of the largest and smallest value, and scales columns', () => {
    const series = new danfojs.Series([3, 9, -1, 9]);
    expect([series.argMax(), series.argMin()]).toEqual([1, 2]);
    expect(new danfojs.MinMaxScaler().fitTransform(frame).values).toEqual([
      [0, 0],
      [1, 1],
    ]);
    expect(new danfojs.StandardScaler().fitTransform(frame).values).toEqual([
      [-1, -1],
      [1, 1],
    ]);
    expect(new danfojs.LabelEncoder().fit(['b', 'a', 'b']).transform(['a', 'b'])).toEqual([1, 0]);
  });

  it('draws the same sample of rows for the same seed, each row once', async () => {
    const rows = new danfojs.Series(Array.from({ length: 50 }, (_, i) => i));
    const draw = async (seed: number) => (await rows.sample(20, { seed })).values as number[];
    expect(await draw(1)).toEqual(await draw(1));
    expect(await draw(1)).not.toEqual(await draw(2));
    expect(new Set(await draw(1)).size).toBe(20);
  });
});

describe('mathjs-lite', () => {
  it('gives mean, median, modes and sample spread', () => {
    const values = [2, 4, 4, 4, 5, 5, 7, 9];
    expect([mathjs.mean(values), mathjs.median(values), mathjs.mode(values)]).toEqual([5, 4.5, [4]]);
    expect(mathjs.variance(values)).toBeCloseTo(32 / 7, 14);
    expect(mathjs.std(values)).toBeCloseTo(Math.sqrt(32 / 7), 14);
    expect(mathjs.median([10, 9, 1])).toBe(9);
    expect(mathjs.mode(['b', 'a', 'a', 'b', 'c'])).toEqual(['b', 'a']);
    expect(() => mathjs.mean([])).toThrow('mean of no values');
  });

  it('loses no digits of a spread on a large offset', () => {
    expect(mathjs.variance([1e9 + 4, 1e9 + 7, 1e9 + 13, 1e9 + 16])).toBe(30);
  });
});

/** Should one of these fail after an upgrade, danfojs was mended and the table functions may lean on it there. */
describe('what the table functions keep away from in danfojs', () => {
  it('joining frames corrupts the first one', () => {
    const first = new danfojs.DataFrame({ a: [1, 2], b: [3, 4] });
    danfojs.concat({ dfList: [first, new danfojs.DataFrame({ a: [5], b: [6] })], axis: 0 });
    expect(first.getColumnData[0]).toHaveLength(3);
    expect(first.shape[0]).toBe(2);
  });

  it('its CSV does not quote', () => {
    expect(danfojs.toCSV(new danfojs.DataFrame({ a: ['x,y'] }))).toBe('a\nx,y\n');
  });

  it('the spread of a single value is 0', () => {
    const one = new danfojs.DataFrame({ group: [1], value: [2] });
    expect(one.groupby(['group']).agg({ value: 'std' }).value_std.values).toEqual([0]);
  });

  it('a frame without rows cannot be summarised', () => {
    expect(() => new danfojs.DataFrame([]).groupby(['group']).agg({ value: 'mean' })).toThrow();
  });
});

function sourcesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.js'))
    .map((name) => readFileSync(join(folder, name), 'utf8'));
}
