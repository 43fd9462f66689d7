import { describe, expect, it } from 'vitest';
import {
  checkSpringLabel,
  estimateOf,
  fromNewtonPerMetre,
  helicalRate,
  springForMass,
  springPull,
  springSteel_Pa,
} from '../../../analysis/index.js';
import { randomFrom } from '../played/random.js';
import { type PlayedPull, playPull } from './played-pull.js';

const spring: PlayedPull = {
  rate_N_per_m: 210,
  preload_N: 1.1,
  friction_N: 0.45,
  presliding_m: 0.08e-3,
  noise_N: 0.006,
  travel_m: 0.024,
  strokes: 6,
  samplesPerStroke: 200,
};

const pulled = (change: Partial<PlayedPull> = {}, seed = 1) => {
  const { position_m, force_N } = playPull({ ...spring, ...change }, randomFrom(seed));
  const outcome = springPull(position_m, force_N);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.pull;
};

describe('a spring from a slow pull', () => {
  it('has the rate, preload and friction that it was played with', () => {
    const { rate_N_per_m, preload_N, friction_N, strokes } = pulled();
    expect(Math.abs(rate_N_per_m.value / 210 - 1)).toBeLessThan(0.002);
    expect(preload_N!.value).toBeCloseTo(1.1, 2);
    expect(friction_N!.value).toBeCloseTo(0.45, 2);
    expect(strokes).toEqual({ loading: 3, unloading: 3 });
  });

  it('has intervals that hold the truth 19 times in 20, with few strokes and with many', () => {
    for (const strokes of [2, 6]) {
      const covered = { rate: 0, preload: 0 };
      for (let seed = 1; seed <= 200; seed++) {
        const { rate_N_per_m, preload_N } = pulled({ strokes, samplesPerStroke: 80 }, seed);
        if (rate_N_per_m.low95 < 210 && rate_N_per_m.high95 > 210) covered.rate++;
        if (preload_N!.low95 < 1.1 && preload_N!.high95 > 1.1) covered.preload++;
      }
      expect(covered.rate / 200).toBeGreaterThan(0.91);
      expect(covered.preload / 200).toBeGreaterThan(0.9);
    }
  });

  it('is not fooled by friction that grows along the travel, which tilts the two ways apart', () => {
    const { rate_N_per_m } = pulled({ frictionGrowth_per_m: 40 });
    expect(Math.abs(rate_N_per_m.value / 210 - 1)).toBeLessThan(0.004);
  });

  it('shows a progressive spring as one', () => {
    expect(Math.abs(pulled().progression.value)).toBeLessThan(0.02);
    const { progression } = pulled({ progressive_N_per_m2: 2000 });
    const rateAt = (x: number) => 210 + 2 * 2000 * x;
    const expected = (rateAt(0.024) - rateAt(0)) / rateAt(0.012);
    expect(progression.value).toBeCloseTo(expected, 1);
    expect(progression.low95).toBeGreaterThan(0.1);
  });

  it('knows neither friction nor preload from one way only', () => {
    const { friction_N, preload_N, strokes } = pulled({ strokes: 1 });
    expect([friction_N, preload_N]).toEqual([null, null]);
    expect(strokes.unloading).toBe(0);
  });

  it('is refused where there is none', () => {
    const codeOf = (position_m: Float64Array, force_N: Float64Array) => {
      const outcome = springPull(position_m, force_N);
      return outcome.ok ? 'pulled' : outcome.refusal.code;
    };
    const { position_m, force_N } = playPull(spring, randomFrom(1));
    expect(codeOf(position_m.slice(0, 10), force_N.slice(0, 10))).toBe('too-few-samples');
    expect(codeOf(position_m, force_N.slice(1))).toBe('unequal-channels');
    expect(
      codeOf(
        position_m.map((x) => x / 100),
        force_N,
      ),
    ).toBe('no-travel');
    expect(
      codeOf(
        position_m,
        force_N.map((f) => -f),
      ),
    ).toBe('force-falls');
    expect(codeOf(position_m, force_N.with(5, Number.NaN))).toBe('not-finite');
  });
});

describe('a spring label', () => {
  const measured = estimateOf(1.12 * 175.126835246476, 0.5);

  it('agrees, differs or stays undecided by the interval', () => {
    expect(checkSpringLabel(measured, 1.1, 'lbf/in').verdict).toBe('agrees');
    expect(checkSpringLabel(measured, 1.6, 'lbf/in').verdict).toBe('differs');
    expect(checkSpringLabel(estimateOf(193, 12), 1.1, 'lbf/in').verdict).toBe('undecided');
  });

  it('that was read in the wrong unit is recognised', () => {
    const twenty = checkSpringLabel(estimateOf(20.5 * 9.80665, 0.5), 20, 'lbf/in');
    expect(twenty.verdict).toBe('differs');
    expect(twenty.readsLike).toBe('gf/mm');
  });
});

describe('the spring for another mass', () => {
  it('follows the mass, so that frequency and sag stay', () => {
    const outcome = springForMass(estimateOf(193, 2), 0.5, 0.72, [
      { label: 'soft', rate_N_per_m: 193 },
      { label: 'firm', rate_N_per_m: 280 },
    ]);
    if (!outcome.ok) throw new Error();
    expect(outcome.ride.wanted_N_per_m.value).toBeCloseTo(277.92, 2);
    expect(outcome.ride.shelf[0]!.spring.label).toBe('firm');
    expect(outcome.ride.shelf[0]!.frequencyChange_percent).toBeCloseTo(0.37, 1);
    expect(springForMass(estimateOf(193, 2), 0, 1).ok).toBe(false);
  });
});

describe('a spring from its wire', () => {
  it('loses rate with the cube of its coil and gains it with the fourth power of its wire', () => {
    const rate = (wire_m: number, coil_m: number) => {
      const outcome = helicalRate({ wire_m, coil_m, activeCoils: 7, shearModulus_Pa: springSteel_Pa });
      return outcome.ok ? outcome.rate_N_per_m : Number.NaN;
    };
    expect(rate(1.1e-3, 13e-3) / rate(1e-3, 13e-3)).toBeCloseTo(1.4641, 10);
    expect(rate(1e-3, 26e-3) / rate(1e-3, 13e-3)).toBeCloseTo(0.125, 10);
    expect(fromNewtonPerMetre(rate(0.9e-3, 14e-3), 'lbf/in')).toBeCloseTo(1.93, 1);
  });

  it('is refused for impossible dimensions', () => {
    const codeOf = (change: object) => {
      const outcome = helicalRate({
        wire_m: 1e-3,
        coil_m: 13e-3,
        activeCoils: 7,
        shearModulus_Pa: springSteel_Pa,
        ...change,
      });
      return outcome.ok ? 'made' : outcome.refusal.code;
    };
    expect(codeOf({ wire_m: -1e-3 })).toBe('bad-dimension');
    expect(codeOf({ activeCoils: 0 })).toBe('bad-dimension');
    expect(codeOf({ coil_m: 2e-3 })).toBe('coil-too-tight');
  });
});
