import { describe, expect, it } from 'vitest';
import { analyzeRecording, type Finding, type FindingCode, type Trace } from '../../../analysis/index.js';
import { type FaultKind, faultKinds, playFaulty } from '../played/faults.js';
import { playSound, type Scene } from '../played/scene.js';

/** Slow rates keep these short; `npm run bench -- findings` measures all rates on hundreds of recordings. */
const quick = (scene: Scene): Scene => ({
  ...scene,
  rig: { ...scene.rig, rate_Hz: scene.rig.kernel === 'none' ? 200 : scene.rig.rate_Hz },
});
const notes: readonly FindingCode[] = ['lag-unresolved', 'kernel-chosen'];

function warnings(trace: Trace): readonly Finding[] {
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.analysis.findings.filter(({ code }) => !notes.includes(code));
}

describe('a sound recording', () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])('accuses nothing: %i', (seed) => {
    expect(warnings(playSound(seed, quick).trace)).toEqual([]);
  });
});

const nameOf = ({ name, code }: FaultKind) => name ?? code;

describe.each(faultKinds.map((kind) => [nameOf(kind), kind] as const))('%s', (_, kind) => {
  const faulty = [11, 12, 13, 14].map((seed) => playFaulty(kind, seed, quick));
  const told = faulty.map(({ played }) => warnings(played.trace));

  it('is told in at least three of four recordings', () => {
    const found = told.filter((findings) => findings.some(({ code }) => code === kind.code));
    expect(found.length).toBeGreaterThanOrEqual(3);
  });

  it('is not taken for another fault more than once', () => {
    const mistaken = told.filter((findings) => findings.some(({ code }) => code !== kind.code));
    expect(mistaken.map((findings) => findings.map(({ code }) => code)).length).toBeLessThanOrEqual(1);
  });

  it('comes with its place or size', () => {
    faulty.forEach(({ truth }, k) => {
      const own = told[k].find(({ code }) => code === kind.code);
      for (const [key, value] of Object.entries(truth ?? {}))
        if (own)
          expect(Math.abs((own.values[key] as number) / value - 1)).toBeLessThan(
            key === 'play_mm' ? 0.8 : 0.1,
          );
    });
  });
});
