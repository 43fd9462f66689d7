import { describe, expect, it } from 'vitest';
import { analyzeRecording, type SlowSweep } from '../../analysis/index.js';
import type { PlayedMotion } from './played/motion.js';
import { playSound, type Scene } from './played/scene.js';
import { feel, type PlayedShock } from './played/shock.js';

const binding = { position_m: 9e-3, width_m: 1e-3, force_N: 0.4 };

/** A sweep at 320 samples/s of a shock with known drag, by what is changed of it. */
function swept(
  seed: number,
  shock: Partial<PlayedShock>,
): { sweep: SlowSweep; scene: Scene; motion: PlayedMotion } {
  const { trace, scene, motion } = playSound(seed, (drawn) => ({
    ...drawn,
    procedure: 'slow-sweep',
    stroke_m: 20e-3,
    dwell_s: 0.5,
    rig: { ...drawn.rig, rate_Hz: 320, kernel: 'none', lag_s: 0 },
    shock: { ...drawn.shock, dragCompression_N: 1, dragRebound_N: 0.9, ...shock },
  }));
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return { sweep: outcome.analysis.sweep!, scene, motion };
}

describe('a slow sweep', () => {
  it('shows drag along the travel, with more of it where something rubs', () => {
    const { dragAlong } = swept(3, { binding }).sweep;
    const inner = dragAlong.slice(3, -3);
    const most = inner.reduce((a, b) => (b.compression_N! > a.compression_N! ? b : a));
    const least = inner.reduce((a, b) => (b.compression_N! < a.compression_N! ? b : a));
    expect(Math.abs(most.position_mm - 9)).toBeLessThan(1);
    expect(most.compression_N! - least.compression_N!).toBeGreaterThan(0.3);
    expect(most.compression_N! - least.compression_N!).toBeLessThan(0.5);
  });

  it('shows how drag falls with speed, as the seal has it', () => {
    for (const seed of [4, 5]) {
      const { sweep, scene } = swept(seed, { breakawayRatio: 1.6, stribeckSpeed_m_per_s: 5e-3 });
      expect(sweep.dragAtSpeed.length).toBeGreaterThan(8);
      const { dragCompression_N, dragRebound_N } = scene.shock;
      const shareOf = (velocity_mm_per_s: number) => 1 + 0.6 * Math.exp(-((velocity_mm_per_s / 5) ** 2));
      const [slow, fast] = [sweep.dragAtSpeed[0]!, sweep.dragAtSpeed.at(-1)!];
      expect(slow.drag_N).toBeGreaterThan(1.2 * fast.drag_N);
      for (const { velocity_mm_per_s, direction, drag_N } of sweep.dragAtSpeed) {
        const sliding_N = direction === 'compression' ? dragCompression_N : dragRebound_N;
        expect(Math.abs(drag_N / (sliding_N * shareOf(velocity_mm_per_s)) - 1)).toBeLessThan(0.12);
      }
    }
  });

  it('shows what each start takes beyond sliding, and the rest before it', () => {
    const { sweep, scene, motion } = swept(8, {
      breakawayRatio: 1.8,
      stribeckSpeed_m_per_s: 5e-3,
      presliding_m: 0.05e-3,
    });
    const fast = sweep.starts.slice(-6);
    for (const { dwell_s } of fast) expect(Math.abs(dwell_s - scene.dwell_s)).toBeLessThan(0.15);
    const { compression, rebound } = truePeaks(scene.shock, motion);
    for (const { direction, excess_N } of fast) {
      const true_N = direction === 'compression' ? compression - 1 : rebound - 0.9;
      expect(true_N).toBeGreaterThan(0.1);
      expect(Math.abs(excess_N - true_N)).toBeLessThan(0.04);
    }
  });
});

/** Highest drag of the last start in each direction, from the played shock without all but its seal. */
function truePeaks(shock: PlayedShock, { position_m, velocity_m_per_s, step_s }: PlayedMotion) {
  const still = { linear: 0, quadratic: 0 };
  const gas = { ...shock.gas, area_m2: 1e-12 };
  const step = feel({ ...shock, compression: still, rebound: still, gas, spring_N_per_m: 0 });
  const peaks = { compression: 0, rebound: 0 };
  let last = 0;
  let travel_m = 0;
  for (let k = 0; k < velocity_m_per_s.length; k++) {
    const v = velocity_m_per_s[k]!;
    const drag_N = step(position_m[k]!, v, step_s, 0.5);
    const way = v > 0 ? 'compression' : 'rebound';
    if (v === 0) continue;
    if (Math.sign(v) !== last) {
      peaks[way] = 0;
      travel_m = 0;
    }
    last = Math.sign(v);
    travel_m += Math.abs(v) * step_s;
    if (travel_m < 1.5e-3) peaks[way] = Math.max(peaks[way], last * drag_N);
  }
  return peaks;
}
