import { describe, expect, it } from 'vitest';
import { recordedMotion } from '../../analysis/identification/prepare.js';
import { smoothMotion } from '../../analysis/identification/smooth-motion.js';
import { makeTrace } from '../../analysis/index.js';
import { randomFrom } from './played/random.js';

const radius_m = 0.01;
const noise_m = 4e-6;

/** Sinusoidal strokes of a period as a sensor with noise sees them. */
function stroked(time_s: Float64Array, period_s: number, seed = 8) {
  const random = randomFrom(seed);
  const rate = (2 * Math.PI) / period_s;
  return {
    position_m: time_s.map((t) => radius_m * Math.sin(rate * t) + noise_m * random.normal()),
    velocity: (t: number) => radius_m * rate * Math.cos(rate * t),
    peak_m_per_s: radius_m * rate,
  };
}

function motionOf(time_s: Float64Array, position_m: Float64Array) {
  const force_N = time_s.map((t) => Math.sin(t));
  const made = makeTrace({ force: { time_s, force_N }, position: { time_s, position_m } });
  if (!made.ok) throw new Error(made.refusal.found);
  const moved = recordedMotion(made.trace);
  if (!moved.ok) throw new Error(moved.refusal.found);
  return moved.motion;
}

describe('smoothed motion', () => {
  it('is exact on a quintic, between samples and at unequal steps', () => {
    const random = randomFrom(3);
    const time_s = Float64Array.from({ length: 300 }, (_, i) => (i + random.uniform(-0.3, 0.3)) / 300);
    const powers = [0.3, -0.2, 0.5, 0.1, -0.4, 0.2];
    const at = (t: number, times = (_k: number) => 1, lower = 0) =>
      powers.reduce((sum, c, k) => sum + (k < lower ? 0 : c * times(k) * t ** (k - lower)), 0);
    const nodes = smoothMotion(
      time_s,
      time_s.map((t) => at(t)),
      1e-6,
      [],
      () => 1,
    );
    nodes.time_s.forEach((t, k) => {
      expect(nodes.position_m[k]).toBeCloseTo(at(t), 11);
      expect(nodes.velocity_m_per_s[k]).toBeCloseTo(
        at(t, (j) => j, 1),
        8,
      );
      expect(nodes.acceleration_m_per_s2[k]).toBeCloseTo(
        at(t, (j) => j * (j - 1), 2),
        5,
      );
    });
  });

  it('is off by about the errors it states', () => {
    const time_s = Float64Array.from({ length: 6000 }, (_, i) => i / 400);
    const { position_m, velocity } = stroked(time_s, 0.7);
    const nodes = smoothMotion(time_s, position_m, noise_m, [], () => 0.7);
    const scores = nodes.velocity_m_per_s.map(
      (v, k) => (v - velocity(nodes.time_s[k]!)) / nodes.velocityError_m_per_s[k]!,
    );
    const rms = Math.sqrt(scores.reduce((sum, z) => sum + z * z, 0) / scores.length);
    expect(rms).toBeGreaterThan(0.7);
    expect(rms).toBeLessThan(1.3);
  });
});

describe('peak speeds of strokes', () => {
  it('are those of the motion, not of its noise', () => {
    const time_s = Float64Array.from({ length: 6000 }, (_, i) => i / 400);
    const { position_m, peak_m_per_s } = stroked(time_s, 1.3);
    const whole = motionOf(time_s, position_m).strokes.strokes.filter(({ complete }) => complete);
    expect(whole.length).toBeGreaterThan(20);
    for (const { peakSpeed_m_per_s } of whole)
      expect(Math.abs(peakSpeed_m_per_s / peak_m_per_s - 1)).toBeLessThan(0.01);
  });

  it('are none that nobody measured: a gap does not add to them', () => {
    const all = Float64Array.from({ length: 12 * 320 }, (_, i) => i / 320);
    const time_s = all.filter((t) => t < 4.2 || t > 4.9);
    const { position_m, peak_m_per_s } = stroked(time_s, 4);
    expect(motionOf(time_s, position_m).fastest_m_per_s / peak_m_per_s).toBeLessThan(1.02);
  });
});
