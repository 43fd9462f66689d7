import { describe, expect, it } from 'vitest';
import { cycleWork, loopArea } from '../../analysis/kinematics/cycle-work.js';
import { logGamma } from '../../analysis/numerics/special-functions.js';
import { relativeError } from './relative-error.js';

/**
 * Energy per cycle of standard damper laws under x = X sin ωt: π c ω X², 4 F_c X, (8/3) c₂ ω² X³ and, for a·|v|ⁿ,
 * γₙ a ωⁿ Xⁿ⁺¹ with γₙ = 2 √π Γ(n/2 + 1)/Γ(n/2 + 3/2). Standard textbook results (Rao, *Mechanical Vibrations*; Thomson,
 * *Theory of Vibration*); the digits below were computed from these forms.
 */
const amplitude_m = 0.015;
const omega = 2 * Math.PI * 2;

function sineCycle(law: (v: number) => number, samples: number) {
  const n = samples + 1;
  const time_s = Float64Array.from({ length: n }, (_, i) => (i / samples) * 0.5);
  const position_m = time_s.map((t) => -amplitude_m * Math.cos(omega * t));
  const velocity = time_s.map((t) => amplitude_m * omega * Math.sin(omega * t));
  return { time_s, position_m, velocity, force_N: velocity.map(law) };
}

function work(law: (v: number) => number, samples = 4096): number {
  const { time_s, force_N, velocity } = sineCycle(law, samples);
  return cycleWork(time_s, force_N, velocity);
}

const linear = (v: number): number => 60 * v;
const drag = (v: number): number => 1.5 * Math.sign(v);
const quadratic = (v: number): number => 80 * v * Math.abs(v);
const root = (v: number): number => 30 * Math.sqrt(Math.abs(v)) * Math.sign(v);

describe('work per cycle by integration', () => {
  it('agrees with the closed form for each damping law', () => {
    expect(relativeError(work(linear), 0.53295863766)).toBeLessThan(1e-10);
    expect(relativeError(work(drag), 0.09)).toBeLessThan(1e-10);
    expect(relativeError(work(quadratic), 0.1136978427)).toBeLessThan(1e-10);
    expect(relativeError(work(root, 65536), 0.68303668889)).toBeLessThan(1e-10);
  });

  it('adds up over a mixture of laws', () => {
    const mixture = (v: number): number => linear(v) + drag(v) + quadratic(v);
    expect(relativeError(work(mixture), 0.73665648036)).toBeLessThan(1e-10);
  });

  it('gives the equivalent viscous damping W/(π ω X²)', () => {
    const equivalent = (W: number): number => W / (Math.PI * omega * amplitude_m ** 2);
    expect(relativeError(equivalent(work(linear)), 60)).toBeLessThan(1e-10);
    expect(relativeError(equivalent(work(drag)), 10.132118364)).toBeLessThan(1e-9);
    expect(relativeError(equivalent(work(quadratic)), 12.8)).toBeLessThan(1e-10);
  });

  it('follows γₙ over the exponents between drag and quadratic damping', () => {
    for (const n of [0.5, 0.8, 1, 1.3, 1.75, 2]) {
      const gamma = 2 * Math.sqrt(Math.PI) * Math.exp(logGamma(n / 2 + 1) - logGamma(n / 2 + 1.5));
      const wanted = gamma * 30 * omega ** n * amplitude_m ** (n + 1);
      expect(
        relativeError(
          work((v) => 30 * Math.abs(v) ** n * Math.sign(v), 65536),
          wanted,
        ),
      ).toBeLessThan(1e-10);
    }
  });

  it('is negative for a force that drives the shaft, and zero for a spring', () => {
    expect(work((v) => -linear(v))).toBeCloseTo(-0.53295863766, 10);
    const { position_m, time_s, velocity } = sineCycle(linear, 4096);
    const spring_N = position_m.map((x) => 900 * x + 12);
    expect(Math.abs(cycleWork(time_s, spring_N, velocity))).toBeLessThan(1e-12);
    expect(Math.abs(loopArea(position_m, spring_N))).toBeLessThan(1e-15);
  });

  it('comes out of the loop polygon as well, low by 6.6/N²', () => {
    const samples = 400;
    const { position_m, force_N } = sineCycle(linear, samples);
    const area = loopArea(position_m.slice(0, samples), force_N.slice(0, samples));
    expect(relativeError(area, 0.53295863766 * (1 - 6.58 / samples ** 2))).toBeLessThan(1e-7);
  });
});
