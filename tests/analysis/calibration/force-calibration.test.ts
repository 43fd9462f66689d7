import { describe, expect, it } from 'vitest';
import {
  calibrateForce,
  directionsOf,
  type KnownReading,
  quantityOf,
  temperatureDrift,
} from '../../../analysis/calibration/index.js';
import { randomFrom } from '../played/random.js';

interface Cell {
  readonly perNewton: number;
  readonly bend?: number;
  readonly noise_counts?: number;
  /** Counts more on the way down at mid-load, as a share of the largest deflection. */
  readonly hysteresis?: number;
  readonly zeroReturn_counts?: number;
  readonly zero_counts?: (series: number) => number;
  readonly temperature_degC?: (series: number) => number;
}

const loads_N = [2, 4, 6, 8, 10, 12];

/** Three runs up and down on a cell whose faults are chosen. */
function runs(cell: Cell, forces: readonly number[] = loads_N, seed = 1): KnownReading[] {
  const { normal } = randomFrom(seed);
  const top = Math.max(...forces.map(Math.abs));
  return [1, 2, 3].flatMap((series) => {
    const values = [0, ...forces, ...[...forces].reverse().slice(1), 0];
    const directions = directionsOf(values);
    const zero = cell.zero_counts?.(series) ?? 41_000;
    return values.map((value, i): KnownReading => {
      const lag =
        directions[i] === 'down' && value !== 0
          ? (cell.hysteresis ?? 0) * 4 * (value / top) * (1 - value / top)
          : 0;
      const reading =
        zero +
        cell.perNewton * (value * (1 + (cell.bend ?? 0) * value) + lag * top) +
        (cell.noise_counts ?? 0) * normal() +
        (i === values.length - 1 ? (cell.zeroReturn_counts ?? 0) : 0);
      return {
        series,
        value,
        direction: directions[i]!,
        reading_counts: reading,
        temperature_degC: cell.temperature_degC?.(series) ?? null,
      };
    });
  });
}

function calibrated(readings: readonly KnownReading[], referenceUncertainty = 0) {
  const outcome = calibrateForce(readings, referenceUncertainty);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.calibration;
}

describe('a force calibration', () => {
  it('gives back a straight scale exactly, with no errors to speak of', () => {
    const { scale, choice, errors, classes } = calibrated(runs({ perNewton: 21_900 }));
    expect(scale.perCount).toBeCloseTo(1 / 21_900, 15);
    expect(scale.zero_counts).toBeCloseTo(41_000, 6);
    expect(scale.bend).toBe(0);
    expect(choice.chosen).toBe('straight');
    expect(Math.abs(errors.interpolation_percent)).toBeLessThan(1e-9);
    expect(classes).toEqual({ iso376: '00', iso7500: '0.5' });
  });

  it('keeps the sign of a cell that is wired the other way round', () => {
    const { scale, perCount } = calibrated(runs({ perNewton: -21_900 }));
    expect(scale.perCount).toBeCloseTo(-1 / 21_900, 15);
    expect(perCount.low95).toBeLessThanOrEqual(perCount.high95);
  });

  it('covers the true scale 95 times in 100 and is not wider than it should be', () => {
    let covered = 0;
    let straight = 0;
    const trials = 400;
    const widths: number[] = [];
    for (let seed = 1; seed <= trials; seed++) {
      const { perCount, choice } = calibrated(runs({ perNewton: 21_900, noise_counts: 60 }, loads_N, seed));
      if (choice.chosen === 'straight') straight++;
      if (perCount.low95 < 1 / 21_900 && 1 / 21_900 < perCount.high95) covered++;
      widths.push(perCount.standardError);
    }
    expect(covered / trials).toBeGreaterThan(0.9);
    expect(covered / trials).toBeLessThan(0.985);
    // Both the lack of fit and the bend must be significant, so fewer than 1 in 20 are called bent.
    expect(straight / trials).toBeGreaterThan(0.95);
  });

  it('finds a bend beyond the scatter and undoes it', () => {
    const { scale, choice } = calibrated(runs({ perNewton: 21_900, bend: 4e-4, noise_counts: 20 }));
    expect(choice.chosen).toBe('quadratic');
    expect(choice.straight.lackOfFit!.probability).toBeLessThan(1e-3);
    expect(scale.bend).toBeCloseTo(4e-4, 4);
    expect(quantityOf(41_000 + 21_900 * 11 * (1 + 4e-4 * 11), scale)).toBeCloseTo(11, 2);
  });

  it('does not take a cell that lags behind for a bent one', () => {
    const { choice, errors } = calibrated(runs({ perNewton: 21_900, hysteresis: 0.002, noise_counts: 5 }));
    expect(choice.chosen).toBe('straight');
    // At a third of the load the way down is 0.002·4·(1/3)·(2/3)·3 = 0.53 % higher.
    expect(errors.reversibility_percent).toBeGreaterThan(0.5);
  });

  it('tells repeatability, zero and reversibility in per cent', () => {
    const shift = (series: number) => [0, 0, 30][series - 1]!;
    const readings = runs({ perNewton: 20_000, zeroReturn_counts: 120 }).map((reading) =>
      reading.value === 4 && reading.direction === 'up'
        ? { ...reading, reading_counts: reading.reading_counts + shift(reading.series) }
        : reading,
    );
    const { errors, errorsByLoad, classes } = calibrated(readings);
    expect(errors.zero_percent).toBeCloseTo((100 * 120) / (12 * 20_000), 9);
    expect(errors.repeatability_percent).toBeCloseTo((100 * 30) / (4 * 20_000 + 10), 9);
    expect(errorsByLoad.find(({ force_N }) => force_N === 6)!.repeatability_percent).toBeCloseTo(0, 9);
    expect(errors.reversibility_percent).toBeCloseTo((-100 * (0 + 0 + 30 / 80_030)) / 3, 6);
    expect(classes.iso376).toBe('1');
  });

  it('adds the uncertainty of masses and gravity to the scale', () => {
    const { perCount } = calibrated(runs({ perNewton: 21_900 }), 1e-3);
    expect(perCount.standardError / perCount.value).toBeCloseTo(1e-3, 8);
  });

  it('measures the cell both ways and says how far pull and push differ', () => {
    const readings = runs({ perNewton: 21_900, noise_counts: 5 }).concat(
      runs(
        { perNewton: 21_900 * 1.004, noise_counts: 5 },
        loads_N.map((n) => -n),
        2,
      ).map((reading) => ({
        ...reading,
        series: reading.series + 3,
      })),
    );
    const { pullLessPush_percent } = calibrated(readings);
    expect(pullLessPush_percent!.value).toBeCloseTo(0.4, 1);
    expect(pullLessPush_percent!.low95).toBeGreaterThan(0.3);
    expect(calibrated(runs({ perNewton: 1000 })).pullLessPush_percent).toBeNull();
  });

  it('finds the drift of zero and span with temperature, and none within 3 K', () => {
    const drifting = (span_K: number) =>
      [0, 1, 2].flatMap((block) =>
        runs({
          perNewton: 20_000 * (1 + 2e-4 * span_K * block),
          zero_counts: () => 41_000 + 100 * span_K * block,
          temperature_degC: () => 18 + span_K * block,
        }).map((reading) => ({ ...reading, series: reading.series + 3 * block })),
      );
    const { runs: own, scale } = calibrated(drifting(6));
    const drift = temperatureDrift(own, scale)!;
    expect(drift.zero_per_K.value).toBeCloseTo(100 * scale.perCount, 9);
    expect(drift.span_percent_per_K.value).toBeCloseTo(0.02, 3);
    expect([drift.from_degC, drift.to_degC]).toEqual([18, 30]);
    const close = calibrated(drifting(1));
    expect(temperatureDrift(close.runs, close.scale)).toBeNull();
  });

  it.each([
    ['too-few-values', runs({ perNewton: 1000 }, [1, 2, 3, 4])],
    ['no-zero', runs({ perNewton: 1000 }).filter(({ value }) => value !== 0)],
    ['not-finite', runs({ perNewton: Number.NaN })],
    ['no-change', runs({ perNewton: 0 })],
    [
      'falls-back',
      runs({ perNewton: 1000 }).map((r) => (r.value === 6 ? { ...r, reading_counts: 41_000 + 9_000 } : r)),
    ],
  ] as const)('refuses with %s', (code, readings) => {
    const outcome = calibrateForce(readings, 0);
    expect(outcome).toMatchObject({ ok: false, refusal: { code } });
  });
});
