import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { firmwareFolder } from './toolchain.js';

const PERIOD_S = 1 / 80;
const STROKE_M = 0.03;

/**
 * What a converter of so many running means gives of sin(k·phase): smaller by a sinc for each mean, later by half a
 * conversion for each.
 */
function averagedSine(harmonic: number, speed_Hz: number, time_s: number, means: number): number {
  const angle = Math.PI * harmonic * speed_Hz * PERIOD_S;
  return (
    (Math.sin(angle) / angle) ** means *
    Math.sin(2 * Math.PI * harmonic * speed_Hz * (time_s - (means / 2) * PERIOD_S))
  );
}

/** Velocity, direction and position of a crank as that converter gives them; the direction is a square wave. */
function averaged(speed_Hz: number, time_s: number, means: number): [number, number, number] {
  const quarter_s = 1 / (4 * speed_Hz);
  const first = averagedSine(1, speed_Hz, time_s, means);
  let square = 0;
  for (let harmonic = 1; harmonic < 600; harmonic += 2)
    square += (4 / Math.PI / harmonic) * averagedSine(harmonic, speed_Hz, time_s, means);
  const position = (-STROKE_M / 2) * averagedSine(1, speed_Hz, time_s + quarter_s, means);
  return [Math.PI * speed_Hz * STROKE_M * first, square, position];
}

/** Solves three normal equations by Cramer's rule. */
function leastSquares(rows: readonly (readonly [number, number, number])[], values: readonly number[]) {
  const dot = (i: number, j: number) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0);
  const right = [0, 1, 2].map((i) => rows.reduce((sum, row, n) => sum + row[i]! * values[n]!, 0));
  const matrix = [0, 1, 2].map((i) => [0, 1, 2].map((j) => dot(i, j)));
  const determinant = (m: number[][]) =>
    [0, 1, 2].reduce(
      (sum, j) =>
        sum +
        m[0]![j]! * (m[1]![(j + 1) % 3]! * m[2]![(j + 2) % 3]! - m[1]![(j + 2) % 3]! * m[2]![(j + 1) % 3]!),
      0,
    );
  return [0, 1, 2].map(
    (column) =>
      determinant(matrix.map((row, i) => row.map((value, j) => (j === column ? right[i]! : value)))) /
      determinant(matrix),
  );
}

it('a sinc3 converter taken for a sinc4 makes drag as much too small as the README says', () => {
  const readme = readFileSync(join(firmwareFolder, '../README.md'), 'utf8');
  const [, ...told] = /makes drag (\d+), (\d+), (\d+) and (\d+) % too small at 1, 2, 4 and 8 rev\/s/.exec(
    readme,
  )!;
  for (const [i, speed_Hz] of [1, 2, 4, 8].entries()) {
    // A little off, so that the samples do not meet the crank at the same few places.
    const near_Hz = speed_Hz * 1.003;
    const times_s = Array.from({ length: 800 }, (_, n) => n * PERIOD_S);
    const [damping, drag, rate] = [20, 1, 20];
    const measured = times_s.map((time_s) => {
      const [v, direction, x] = averaged(near_Hz, time_s, 3);
      return damping * v + drag * direction + rate * x;
    });
    const fitted = leastSquares(
      times_s.map((time_s) => averaged(near_Hz, time_s, 4)),
      measured,
    );
    expect(Math.abs(100 * (1 - fitted[1]!) - Number(told[i]))).toBeLessThan(1);
  }
});
