import { describe, expect, it } from 'vitest';
import { type Estimate, springPull } from '../../../analysis/index.js';
import { type Random, randomFrom } from '../played/random.js';
import { drawSpring, type PulledSpring, pullAlong, pullShapes } from './pull-shapes.js';

const holds = ({ low95, high95 }: Estimate, truth: number) => low95 <= truth && truth <= high95;

function pulled(path_m: readonly number[], spring: PulledSpring, random: Random) {
  const { position_m, force_N } = pullAlong(path_m, spring, random);
  const outcome = springPull(position_m, force_N);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return { ...outcome.pull, preload_N: outcome.pull.preload_N! };
}

/** A shape pulled with several springs: worst relative error of the rate, of the preload in N, and how often held. */
function worstOf(
  shape: (random: Random) => number[],
  change: (drawn: PulledSpring) => Partial<PulledSpring> = () => ({}),
  seeds = 6,
) {
  const worst = { rate: 0, preload: 0, held: 0, of: 2 * seeds };
  for (let seed = 1; seed <= seeds; seed++) {
    const random = randomFrom(900 + seed);
    const drawn = drawSpring(random);
    const spring = { ...drawn, ...change(drawn) };
    const preload = spring.gap_m ? 0 : spring.preload_N;
    const found = pulled(shape(random), spring, random);
    worst.rate = Math.max(worst.rate, Math.abs(found.rate_N_per_m.value / spring.rate_N_per_m - 1));
    worst.preload = Math.max(worst.preload, Math.abs(found.preload_N.value - preload));
    if (holds(found.rate_N_per_m, spring.rate_N_per_m)) worst.held++;
    if (holds(found.preload_N, preload)) worst.held++;
  }
  return worst;
}

describe('a spring pulled in any of the usual ways', () => {
  for (const [name, shape] of Object.entries(pullShapes))
    it(`${name}: rate within 1.5 %, preload within 50 mN`, () => {
      const { rate, preload } = worstOf(shape);
      expect(rate).toBeLessThan(0.015);
      expect(preload).toBeLessThan(0.05);
    });

  it('has intervals that hold the truth 19 times in 20 over all of them', () => {
    const all = Object.values(pullShapes).map((shape) => worstOf(shape, undefined, 8));
    const share = all.reduce((sum, { held }) => sum + held, 0) / all.reduce((sum, { of }) => sum + of, 0);
    expect(share).toBeGreaterThan(0.9);
  });
});

describe('what is not the spring', () => {
  const shapes = [pullShapes['there and back once']!, pullShapes['by a slow crank']!, pullShapes['by hand']!];
  const each = (change: (drawn: PulledSpring) => Partial<PulledSpring>) =>
    shapes.map((shape) => worstOf(shape, change, 4));

  it('is a gap before it: the rate is that of the spring and preload is none', () => {
    for (const { rate, preload } of each(() => ({ gap_m: 4e-3 }))) {
      expect(rate).toBeLessThan(0.02);
      expect(preload).toBeLessThan(0.05);
    }
    const random = randomFrom(5);
    const { slack_m } = pulled(
      pullShapes['five cycles']!(random),
      { ...drawSpring(random), gap_m: 4e-3 },
      random,
    );
    expect(slack_m).toBeCloseTo(4e-3, 4);
  });

  it('is the step up to its preload, where it lifts off its seat', () => {
    for (const { rate, preload } of each(() => ({ liftOff_N_per_m: 12e3 }))) {
      expect(rate).toBeLessThan(0.015);
      expect(preload).toBeLessThan(0.05);
    }
  });

  it('is coils that touch before the end', () => {
    for (const { rate, preload } of each(() => ({ coilBindAt_m: 15e-3 }))) {
      expect(rate).toBeLessThan(0.02);
      expect(preload).toBeLessThan(0.05);
    }
    const random = randomFrom(6);
    const shape = pullShapes['five cycles']!(random);
    expect(pulled(shape, { ...drawSpring(random), coilBindAt_m: 15e-3 }, random).bound).toBe(true);
    expect(pulled(shape, drawSpring(random), random).bound).toBe(false);
  });

  it('is the oil of a shock it sits on, which resists both ways', () => {
    for (const { rate, preload } of each(() => ({ oil_N_per_step: 3000 }))) {
      expect(rate).toBeLessThan(0.02);
      expect(preload).toBeLessThan(0.06);
    }
  });

  it('is a wild sample now and then', () => {
    for (const { rate, preload } of each(() => ({ wild: 0.003 }))) {
      expect(rate).toBeLessThan(0.02);
      expect(preload).toBeLessThan(0.06);
    }
  });
});
