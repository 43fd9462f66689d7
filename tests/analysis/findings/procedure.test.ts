import { describe, expect, it } from 'vitest';
import { recordedMotion } from '../../../analysis/identification/prepare.js';
import { recogniseProcedure, strokesDecay } from '../../../analysis/identification/procedure.js';
import { analyzeRecording, makeTrace, type Trace } from '../../../analysis/index.js';
import { type PlayedMotion, playCrank, playSweep } from '../played/motion.js';
import { type Random, randomFrom } from '../played/random.js';
import { drawRig, drawShock, playRig } from '../played/recording.js';
import type { PlayedShock } from '../played/shock.js';

const step_s = 100e-6;

/** A shock with its damping and seal taken out: a spring in its place. */
const spring = (shock: PlayedShock): PlayedShock => ({
  ...shock,
  dragCompression_N: 0.01,
  dragRebound_N: 0.01,
  compression: { linear: 0.05, quadratic: 0 },
  rebound: { linear: 0.05, quadratic: 0 },
  spring_N_per_m: 1500,
});

const crank = (random: Random, speeds_Hz: readonly number[], seconds: readonly number[]) =>
  playCrank({ radius_m: 10e-3, rod_m: 0.08, speeds_Hz, seconds, ripple: 0.01, step_s }, random);
const sweep = (speeds_m_per_s: readonly number[], dwell_s: number) =>
  playSweep({ travel_m: 18e-3, speeds_m_per_s, dwell_s, acceleration_m_per_s2: 0.1, step_s });

/** Strokes about mid-travel, each a fifth shorter than the one before. */
function decay(): PlayedMotion {
  const n = Math.round(14 / step_s);
  const at = (t: number) => 10e-3 - 9e-3 * Math.exp(-t / 5) * Math.cos(2 * Math.PI * t);
  const position_m = Float64Array.from({ length: n }, (_, k) => at(k * step_s));
  const velocity_m_per_s = position_m.map((x, k) => (k === 0 ? 0 : (x - position_m[k - 1]!) / step_s));
  return { step_s, position_m, velocity_m_per_s };
}

function recorded(
  seed: number,
  move: (random: Random) => PlayedMotion,
  change: (shock: PlayedShock) => PlayedShock = (shock) => shock,
): Trace {
  const random = randomFrom(seed);
  const shock = change(drawShock(random));
  return playRig(shock, move(random), drawRig(random, 200, 'none'), random).trace;
}

function procedureOf(trace: Trace) {
  const moved = recordedMotion(trace);
  return moved.ok ? recogniseProcedure(moved.motion, trace) : moved.refusal.code;
}

describe('a procedure is recognised from motion and force', () => {
  const stop = { position_m: 17.5e-3, stiffness_N_per_m: 40e3 };
  it.each<[string, (seed: number) => Trace]>([
    ['speed-ladder', (seed) => recorded(seed, (random) => crank(random, [0.4, 1, 2.2], [8, 5, 4]))],
    ['slow-sweep', (seed) => recorded(seed, () => sweep([3e-3, 8e-3, 20e-3, 40e-3], 0.8))],
    [
      'travel-sweep',
      (seed) =>
        recorded(
          seed,
          () => sweep([8e-3, 8e-3], 0.1),
          (shock) => ({ ...shock, stop }),
        ),
    ],
    ['spring-pull', (seed) => recorded(seed, () => sweep([10e-3, 10e-3], 0), spring)],
    ['lag-check', (seed) => recorded(seed, (random) => crank(random, [0.7, 1.6, 2.8], [5, 5, 5]), spring)],
    ['warm-up', (seed) => recorded(seed, (random) => crank(random, [1.5], [15]))],
  ])('%s', (name, play) => {
    expect([1, 2, 3, 4, 5].map((seed) => procedureOf(play(seed)))).toEqual(Array(5).fill(name));
  });

  it('strokes that decay are nobody’s procedure by name, and known as such', () => {
    const trace = recorded(6, decay);
    const moved = recordedMotion(trace);
    expect(moved.ok && strokesDecay(moved.motion)).toBe(true);
    expect(procedureOf(trace)).toBe('unknown');
  });
});

describe('a procedure that is stated', () => {
  const trace = recorded(7, () => sweep([5e-3, 20e-3], 0.2));
  const stated = makeTrace({ ...trace, procedure: 'warm-up' });

  it('is believed, and asks for what belongs to it', () => {
    if (!stated.ok) throw new Error(stated.refusal.found);
    const [outcome, plain] = [analyzeRecording(stated.trace), analyzeRecording(trace)];
    if (!outcome.ok || !plain.ok) throw new Error('not analysed');
    expect(outcome.analysis.procedure).toBe('warm-up');
    expect(outcome.analysis.findings.map(({ code }) => code)).toContain('too-few-cycles');
    expect(plain.analysis.procedure).toBe('slow-sweep');
    expect(plain.analysis.findings.map(({ code }) => code)).not.toContain('too-few-cycles');
  });
});
