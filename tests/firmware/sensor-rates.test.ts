import { describe, expect, it } from 'vitest';
import { analyzeRecording, makeTrace } from '../../analysis/index.js';

/** Turns of a 15 mm crank at a third of a speed, then at the speed itself, with 20 N·s/m and 1 N of drag. */
function findingsAt(speed_Hz: number, force_Hz: number, position_Hz: number): string[] {
  const slow_s = 12 / speed_Hz;
  const end_s = slow_s + 12 / speed_Hz;
  const phaseAt = (time_s: number) =>
    2 * Math.PI * speed_Hz * (time_s < slow_s ? time_s / 3 : slow_s / 3 + (time_s - slow_s));
  const omegaAt = (time_s: number) => 2 * Math.PI * (time_s < slow_s ? speed_Hz / 3 : speed_Hz);
  const timesOf = (rate_Hz: number) => Float64Array.from({ length: end_s * rate_Hz }, (_, i) => i / rate_Hz);
  const position = timesOf(position_Hz);
  const force = timesOf(force_Hz);
  const velocityAt = (time_s: number) => 0.015 * omegaAt(time_s) * Math.sin(phaseAt(time_s));
  const made = makeTrace({
    position: {
      time_s: position,
      position_m: position.map((time_s) => 0.015 * (1 - Math.cos(phaseAt(time_s)))),
    },
    force: {
      time_s: force,
      force_N: force.map((time_s) => 20 * velocityAt(time_s) + Math.sign(velocityAt(time_s))),
    },
    rig: { kernel: 'none' },
  });
  if (!made.ok) throw new Error(made.refusal.found);
  const outcome = analyzeRecording(made.trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.analysis.findings.map(({ code }) => code);
}

// Speeds a little off, so that the crank is not locked to the samples.
describe('the README’s table of sensor rates marks as enough what the analysis takes as enough', () => {
  it.each([
    [80, 4, 'enough'],
    [80, 8, 'too slow'],
    [10, 1, 'too slow'],
    [320, 8, 'enough'],
  ] as const)('%i conversions a second at %i turns a second: %s', (force_Hz, speed_Hz, verdict) => {
    const isWarned = findingsAt(speed_Hz * 1.013, force_Hz, 400).includes('too-slow-sampling');
    expect(isWarned).toBe(verdict === 'too slow');
  });

  it('position at 200 samples a second is enough up to 8 turns', () => {
    expect(findingsAt(8.1, 320, 200)).not.toContain('too-slow-sampling');
    expect(findingsAt(8.1, 320, 100)).toContain('too-slow-sampling');
  });
});
