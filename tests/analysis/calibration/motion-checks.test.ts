import { describe, expect, it } from 'vitest';
import {
  calibrateCrank,
  calibrateLength,
  checkSpring,
  checkUnloaded,
  cyclicResponses,
  directionsOf,
  longRunSpread,
  positionFromCrank_m,
  slidePosition_m,
} from '../../../analysis/calibration/index.js';
import { makeTrace, type Trace } from '../../../analysis/trace.js';
import { randomFrom } from '../played/random.js';

const crank = { radius_m: 12e-3, rod_m: 60e-3 };

interface Spring {
  readonly rate_N_per_m: number;
  readonly mass_kg: number;
  readonly friction_N: number;
  readonly lag_s: number;
  readonly noise_N?: number;
  readonly viscous_Ns_per_m?: number;
}

/** A spring on a slider-crank at three speeds, computed from the geometry at each sample's own instant. */
function played(spring: Spring, speeds = [0.5, 1.3, 3.1], seed = 1): Trace {
  const { normal } = randomFrom(seed);
  const starts = speeds.map((_, i) => i * 5);
  const angleAt = (t: number) => {
    let angle = 0;
    speeds.forEach((speed, i) => {
      angle += 2 * Math.PI * speed * Math.min(Math.max(t - starts[i]!, 0), 5);
    });
    return angle;
  };
  const position = (t: number) => slidePosition_m(angleAt(t), crank);
  const h = 1e-4;
  const force = (t: number) => {
    const [a, b, c] = [position(t - h), position(t), position(t + h)];
    const speed = (c - a) / (2 * h);
    return (
      spring.rate_N_per_m * b +
      (spring.mass_kg * (a - 2 * b + c)) / (h * h) +
      spring.friction_N * Math.tanh(speed / 1e-4) +
      (spring.viscous_Ns_per_m ?? 0) * speed
    );
  };
  const times = (rate: number) => Float64Array.from({ length: 15 * rate - 20 }, (_, i) => 0.02 + i / rate);
  const forceTimes = times(317);
  const positionTimes = times(400);
  const made = makeTrace({
    position: { time_s: positionTimes, position_m: positionTimes.map(position) },
    force: {
      time_s: forceTimes,
      force_N: forceTimes.map((t) => force(t - spring.lag_s) + (spring.noise_N ?? 0) * normal()),
    },
    rig: { kernel: 'none', conversionPeriod_s: 1 / 317 },
  });
  if (!made.ok) throw new Error(made.refusal.found);
  return made.trace;
}

describe('a cycle of a crank on a spring', () => {
  it('draws the loop that mass and lag give it', () => {
    const cycles = cyclicResponses(played({ rate_N_per_m: 900, mass_kg: 0.015, friction_N: 0, lag_s: 3e-3 }));
    expect(cycles.length).toBeGreaterThan(20);
    for (const { angularFrequency_rad_per_s: w, amplitude_m: X, inPhase_N_per_m, ahead_N_per_m } of cycles) {
      const area = Math.PI * X ** 2 * ahead_N_per_m;
      const stiffness = 900 - 0.015 * w ** 2;
      const expected = -Math.PI * X ** 2 * stiffness * Math.sin(w * 3e-3);
      expect(Math.abs(area - expected)).toBeLessThan(2e-3 * X);
      expect(inPhase_N_per_m / (stiffness * Math.cos(w * 3e-3))).toBeCloseTo(1, 2);
    }
  });
});

describe('the spring check', () => {
  it('finds lag, mass, rate and friction that were played', () => {
    const outcome = checkSpring(
      played({ rate_N_per_m: 900, mass_kg: 0.015, friction_N: 0.2, lag_s: 2.5e-3, noise_N: 5e-3 }),
    );
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { lag_s, movingMass_kg, springRate_N_per_m, friction_N, speeds_rev_per_s } = outcome.check;
    expect(Math.abs(lag_s.value - 2.5e-3)).toBeLessThan(2e-5);
    expect(Math.abs(movingMass_kg.value - 0.015)).toBeLessThan(4e-4);
    expect(Math.abs(springRate_N_per_m.value / 900 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(friction_N.value - 0.2)).toBeLessThan(0.01);
    expect(speeds_rev_per_s[0]).toBeCloseTo(0.5, 2);
    expect(speeds_rev_per_s[1]).toBeCloseTo(3.1, 2);
  });

  it('covers the lag played at least as often as it says', () => {
    let covered = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const outcome = checkSpring(
        played(
          { rate_N_per_m: 900, mass_kg: 0.015, friction_N: 0.1, lag_s: 1e-3, noise_N: 0.02 },
          [0.5, 1.1, 1.9, 3.1],
          seed,
        ),
      );
      if (outcome.ok && outcome.check.lag_s.low95 < 1e-3 && outcome.check.lag_s.high95 > 1e-3) covered++;
    }
    expect(covered).toBeGreaterThanOrEqual(55);
  });

  it('takes viscous friction for less lag, which is why the spring has to be dry', () => {
    const outcome = checkSpring(
      played({ rate_N_per_m: 900, mass_kg: 0.015, friction_N: 0.1, lag_s: 1e-3, viscous_Ns_per_m: 0.9 }),
    );
    expect(outcome.ok && Math.abs(outcome.check.lag_s.value)).toBeLessThan(2e-4);
  });

  it('refuses one speed, too few cycles and no spring', () => {
    const spring = { rate_N_per_m: 900, mass_kg: 0.015, friction_N: 0.1, lag_s: 1e-3 };
    expect(checkSpring(played(spring, [1, 1.1, 1.2]))).toMatchObject({ refusal: { code: 'one-speed' } });
    expect(checkSpring(played(spring, [0.1, 0.3, 0.1]))).toMatchObject({
      refusal: { code: 'too-few-cycles' },
    });
    expect(checkSpring(played({ ...spring, rate_N_per_m: 0, noise_N: 0.01 }))).toMatchObject({
      refusal: { code: 'no-spring' },
    });
  });
});

describe('the unloaded run', () => {
  it('weighs what moves', () => {
    const outcome = checkUnloaded(
      played({ rate_N_per_m: 2, mass_kg: 0.011, friction_N: 0.02, lag_s: 1e-3, noise_N: 4e-3 }),
    );
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { movingMass_kg } = outcome.run;
    expect(Math.abs(movingMass_kg.value - 0.011)).toBeLessThan(3e-4);
    expect(movingMass_kg.low95).toBeLessThan(0.011);
    expect(movingMass_kg.high95).toBeGreaterThan(0.011);
  });
});

describe('a sensor on the crank', () => {
  const sensor = { counts_per_revolution: 4096, zero_counts: 913 };
  const counts = Float64Array.from({ length: 9 }, (_, i) => 300 + i * 430);

  it.each([1, -1])(
    'has its dead centre and radius found from lengths, whichever way it counts (%i)',
    (sign) => {
      const scale = { ...crank, counts_per_revolution: sign * 4096, zero_counts: 913 };
      const positions = counts.map((c) => positionFromCrank_m(c, scale) + 0.031);
      const outcome = calibrateCrank(counts, positions, { ...scale, radius_m: 11e-3 });
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      const { scale: found, radius_m } = outcome.calibration;
      expect(radius_m.value).toBeCloseTo(12e-3, 9);
      expect(found.zero_counts).toBeCloseTo(913, 4);
      for (const c of [0, 500, 2500, 5009])
        expect(positionFromCrank_m(c, found)).toBeCloseTo(positionFromCrank_m(c, scale), 9);
    },
  );

  it('covers the radius of a crank that was measured with a calliper', () => {
    let covered = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { normal } = randomFrom(seed);
      const scale = { ...crank, ...sensor };
      const positions = counts.map((c) => positionFromCrank_m(c, scale) + 3e-5 * normal());
      const outcome = calibrateCrank(counts, positions, { ...scale, radius_m: 12.4e-3 });
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      const { low95, high95 } = outcome.calibration.radius_m;
      if (low95 < 12e-3 && 12e-3 < high95) covered++;
    }
    expect(covered).toBeGreaterThanOrEqual(88);
    expect(covered).toBeLessThan(100);
  });

  it.each([
    ['one-sided', Float64Array.of(900, 950, 1000, 1050, 1100), Float64Array.of(0, 1e-4, 2e-4, 4e-4, 6e-4)],
    ['too-few-values', Float64Array.of(0, 2000), Float64Array.of(0, 0.02)],
    ['no-fit', counts, counts.map((_, i) => (i % 2) * 24e-3)],
  ] as const)('is refused with %s', (code, some, positions) => {
    const known = { ...crank, counts_per_revolution: 4096 };
    expect(calibrateCrank(some, positions, known)).toMatchObject({ ok: false, refusal: { code } });
  });

  it('is refused with a rod shorter than its radius', () => {
    const known = { radius_m: 0.06, rod_m: 0.012, counts_per_revolution: 4096 };
    expect(calibrateCrank(counts, counts, known)).toMatchObject({ refusal: { code: 'impossible-crank' } });
  });
});

describe('lengths', () => {
  it('calibrate a slide with its backlash', () => {
    const lengths = [0, 0.005, 0.01, 0.02, 0.03, 0.02, 0.01, 0.005, 0];
    const directions = directionsOf(lengths);
    const readings = lengths.map((value, i) => ({
      series: 1,
      value,
      direction: directions[i]!,
      reading_counts: 4000 + (value + (directions[i] === 'down' && value > 0 ? 2e-5 : 0)) * 272_800,
    }));
    const outcome = calibrateLength(readings, 1e-5);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { scale, backlash_m, perCount } = outcome.calibration;
    expect(backlash_m).toBeCloseTo(2e-5, 7);
    expect(scale.perCount * 272_800).toBeCloseTo(1, 3);
    expect(perCount.low95).toBeLessThan(1 / 272_800);
    expect(perCount.high95).toBeGreaterThan(1 / 272_800);
  });
});

describe('the long-run spread between remounts', () => {
  const result = (build: string, remount: number, value: number) => ({
    quantity: 'friction_N',
    build,
    remount,
    value,
  });

  it('pools builds about their own means and takes the last value of a remount', () => {
    const spread = longRunSpread([
      result('a', 1, 99),
      result('a', 1, 1.0),
      result('a', 2, 1.2),
      result('b', 1, 2.1),
      result('b', 2, 2.3),
      result('b', 3, 2.5),
      result('c', 1, 7),
    ]);
    expect(spread).toHaveLength(1);
    expect(spread[0]!.standardDeviation).toBeCloseTo(Math.sqrt((0.02 + 0.08) / 3), 12);
    expect(spread[0]).toMatchObject({ degreesOfFreedom: 3, builds: 2 });
    expect(spread[0]!.relativeStandardDeviation).toBeCloseTo(
      Math.sqrt((0.02 / 1.1 ** 2 + 0.08 / 2.3 ** 2) / 3),
      12,
    );
  });

  it('is not known from single remounts', () => {
    expect(longRunSpread([result('a', 1, 1), result('b', 1, 2)])).toEqual([]);
  });
});
