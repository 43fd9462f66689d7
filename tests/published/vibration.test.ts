import { describe, expect, it } from 'vitest';
import {
  dampingRatioOfDecay,
  equivalentDamping,
  gravity_m_per_s2,
  pushAndRelease,
  standingOf,
} from '../../analysis/index.js';
import { law, truck } from '../analysis/corner/played-corner.js';
import { relativeError } from './relative-error.js';

const heavy = { ...truck, preload_N: 0, travel_m: 1e3, drag_N: { compression: 0, rebound: 0 } };

/** Linear interpolation in a motion about its standing height. */
function offsetAt(corner: typeof heavy, push_m: number, time_s: number): number {
  const outcome = pushAndRelease(corner, push_m, time_s + 0.01);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  const { time_s: times, body_m } = outcome.response.motion;
  const k = times.findIndex((t) => t >= time_s);
  const share = (time_s - times[k - 1]!) / (times[k]! - times[k - 1]!);
  return body_m[k - 1]! + share * (body_m[k]! - body_m[k - 1]!) - standingOf(corner).sag_m;
}

describe('Rao, Mechanical Vibrations, shock absorber of a motorcycle (example number from memory)', () => {
  // 200 kg, damped period 2 s, amplitude down to a quarter in half a cycle.
  const ratio = dampingRatioOfDecay(4, 0.5);

  it('has ζ = 0.4037 from the decay, and the rate and damping that follow', () => {
    expect(relativeError(ratio, 0.40371275)).toBeLessThan(1e-7);
    const natural = Math.PI / Math.sqrt(1 - ratio ** 2);
    expect(relativeError(natural, 3.4338632)).toBeLessThan(1e-7);
    expect(relativeError(200 * natural ** 2, 2358.2833)).toBeLessThan(1e-7);
    const { critical_Ns_per_m, frequency_Hz } = standingOf({
      ...heavy,
      sprung_kg: 200,
      spring_N_per_m: 200 * natural ** 2,
    });
    expect(relativeError(critical_Ns_per_m, 1373.5453)).toBeLessThan(1e-7);
    expect(relativeError(ratio * critical_Ns_per_m, 554.5177)).toBeLessThan(1e-6);
    expect(relativeError(frequency_Hz * 2 * Math.PI, natural)).toBeLessThan(1e-12);
  });

  it('swings back to a quarter after one second when played', () => {
    const corner = { ...heavy, sprung_kg: 200, spring_N_per_m: 2358.2833, damping: law(554.5177) };
    expect(offsetAt(corner, 0.25, 1)).toBeCloseTo(-0.0625, 5);
  });
});

describe('Meriam & Kraige, Dynamics, ch. 8, first damped sample: 8 kg, 20 N·s/m, 32 N/m, released from 0.2 m', () => {
  const corner = { ...heavy, sprung_kg: 8, spring_N_per_m: 32, damping: law(20) };

  it('has ζ = 0.625 and moves as x = 0.256·exp(−1.25·t)·sin(1.561·t + 0.896)', () => {
    const damping = equivalentDamping(corner.damping, corner.drag_N, 0.3)!.total;
    expect(damping / standingOf(corner).critical_Ns_per_m).toBeCloseTo(0.625, 6);
    expect(offsetAt(corner, 0.2, 2)).toBeCloseTo(-0.0161631, 6);
    const natural = 1.25 / 0.625;
    const damped = natural * Math.sqrt(1 - 0.625 ** 2);
    expect(damped).toBeCloseTo(1.561, 3);
    for (const t of [0.3, 1, 1.7]) {
      const phase = Math.acos(0.625);
      const exact = (0.2 / Math.sin(phase)) * Math.exp(-1.25 * t) * Math.sin(damped * t + phase);
      expect(offsetAt(corner, 0.2, t)).toBeCloseTo(exact, 6);
    }
  });
});

describe('Rao, block with dry friction (from memory): 100 mm to 10 mm in five cycles of 0.4 s', () => {
  it('loses 4·F/k each cycle, here at a tenth of the size', () => {
    const omega = (2 * Math.PI) / 0.4;
    const drag = 0.11318354 * gravity_m_per_s2 * 0.1;
    const corner = {
      ...heavy,
      sprung_kg: 1,
      spring_N_per_m: omega ** 2,
      damping: law(1e-9),
      drag_N: { compression: drag, rebound: drag },
    };
    const outcome = pushAndRelease(corner, 0.01, 2.05);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const peaks = outcome.response.extremes_m.filter((x) => x > 0);
    // Presliding (0.08 mm) takes a little off each reversal's loss.
    expect(Math.abs(peaks[5]! - 0.001)).toBeLessThan(0.0003);
    expect(Math.abs((peaks[0]! - peaks[3]!) / 3 - 0.0018)).toBeLessThan(0.00004);
  });
});

describe('equivalent viscous damping of a sinusoidal stroke of 15 mm at 2 Hz', () => {
  const speed = 0.015 * 2 * Math.PI * 2;

  it('is c for c·v, 4·F/(π·ω·X) for drag and 8·q·ω·X/(3π) for quadratic damping', () => {
    expect(
      relativeError(equivalentDamping(law(60), { compression: 0, rebound: 0 }, speed)!.total, 60),
    ).toBeLessThan(1e-12);
    const dragOnly = equivalentDamping(law(1e-12), { compression: 1.5, rebound: 1.5 }, speed)!;
    expect(relativeError(dragOnly.total, 10.132118364)).toBeLessThan(1e-9);
    const quadratic = equivalentDamping(law(0, 80), { compression: 0, rebound: 0 }, speed)!;
    expect(relativeError(quadratic.total, 12.8)).toBeLessThan(1e-6);
  });
});
