import { describe, expect, it } from 'vitest';
import { analyzeRecording, type Finding, type FindingCode, type Trace } from '../../../analysis/index.js';
import { faultKinds, playFaulty } from '../played/faults.js';
import { playLadder } from '../played/recording.js';
import { playSound, remade } from '../played/scene.js';

function told(trace: Trace): readonly Finding[] {
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.analysis.findings;
}

const codes = (trace: Trace): FindingCode[] => told(trace).map(({ code }) => code);

/** The recording of a fault drawn from a seed. */
const faulty = (code: FindingCode, seed: number) =>
  playFaulty(faultKinds.find((kind) => kind.code === code)!, seed);

describe('play in a mount', () => {
  it.each([
    ['gas keeps the shock pushing, and the drive turns round without the cell feeling it', 71000045],
    ['the force changes sign flatly on the way in, and too quickly on the way out', 71000143],
  ])('is told where %s', (_, seed) => {
    const { played, size } = faulty('play-in-mounts', seed);
    const own = told(played.trace).find(({ code }) => code === 'play-in-mounts');
    expect(own?.values.play_mm).toBeGreaterThan(0.2 * size);
    expect(own?.values.play_mm).toBeLessThan(1.2 * size);
  });
});

describe('sticking and slipping', () => {
  it.each([
    ['on a crank that is slow only near its turns', 70000128],
    ['where damping leaves more over in quick strokes than sticking in slow ones', 70000005],
  ])('is told %s', (_, seed) => {
    expect(codes(faulty('stick-slip', seed).played.trace)).toContain('stick-slip');
  });
});

describe('a valve that opens', () => {
  it('is told by the energy at the speed where it does, though each stroke as a whole adds up', () => {
    expect(codes(faulty('loop-energy-mismatch', 75000137).played.trace)).toContain('loop-energy-mismatch');
  });

  it('is told beside the ceiling that it makes of compression', () => {
    const found = codes(faulty('loop-energy-mismatch', 75000044).played.trace);
    expect(found).toEqual(expect.arrayContaining(['compression-ceiling', 'loop-energy-mismatch']));
  });
});

describe('a sound shock is not accused', () => {
  it.each([12, 16, 20])(
    'on a crank that never changed its speed enough to tell damping from drag: the first %i s of a ladder',
    (end_s) => {
      const { trace } = playLadder(7, { rate_Hz: 80, kernel: 'sinc3' });
      const n = trace.force.time_s.findIndex((t) => t >= end_s);
      const cut = (values: Float64Array) => values.slice(0, n);
      const begun = remade(trace, {
        force: { time_s: cut(trace.force.time_s), force_N: cut(trace.force.force_N) },
        position: { time_s: cut(trace.position.time_s), position_m: cut(trace.position.position_m) },
      });
      const besides = codes(begun).filter((code) => code !== 'too-few-cycles' && code !== 'lag-unresolved');
      expect(besides).toEqual([]);
    },
  );

  it('of air where something touches at the end and the fit gives the seal a dead stroke of a hundredth of a millimetre', () => {
    const found = codes(faulty('end-contact', 84000015).played.trace);
    expect(found).toContain('end-contact');
    expect(found).not.toContain('air-in-oil');
  });

  it('of sticking by the jumps with which it meets an end of the travel', () => {
    const found = codes(faulty('end-contact', 84000197).played.trace);
    expect(found).toContain('end-contact');
    expect(found).not.toContain('stick-slip');
  });

  it('of a crank in step with the sampling where it is sampled at more than a hundred places in a cycle', () => {
    expect(codes(playSound(80000103).trace)).not.toContain('crank-locked-to-sampling');
  });
});
