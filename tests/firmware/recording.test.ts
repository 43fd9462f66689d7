import { describe, expect, it } from 'vitest';
import { analyzeRecording, compareBuilds, type Estimate, makeTrace } from '../../analysis/index.js';
import { speedLadder } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import type { PlayedShock } from './machine/moving-shock.js';
import { stillShock } from './machine/simulated-board.js';
import { recordingBench } from './recording-bench.js';

/** Twelve seconds over four speeds a factor of ten apart, none a simple fraction of the sample rate. */
const ladder = speedLadder([
  { speed_rev_per_s: 0.23, duration_s: 5 },
  { speed_rev_per_s: 0.61, duration_s: 3 },
  { speed_rev_per_s: 1.31, duration_s: 2 },
  { speed_rev_per_s: 2.3, duration_s: 2 },
]);

/** From the played shock through converter, controller, wire, host and logbook to the analysis. */
async function recorded(shock: PlayedShock, seed: number, program = 'drive-sinc4') {
  // The converter's own oscillator is 1.6 % fast, as such are.
  const bench = await recordingBench({
    program,
    seed,
    shock,
    bootLoader: true,
    converter: { rate_Hz: 81.3 },
  });
  await bench.link.setRate('position', 200);
  // While the boot loader ran, nobody read the converter.
  const { unread } = bench.port.board.converter.account;
  const outcome = await recordBuild({ ...bench, procedure: ladder });
  const { trace } = bench.logbook.readRecording(outcome.recordingId);
  const { account } = bench.port.board.converter;
  await bench.close();
  expect(outcome).toMatchObject({
    state: 'complete',
    statistics: { linesMissing: 0, linesSkipped: {}, linesDroppedByDevice: 0 },
  });
  expect(account).toMatchObject({ powerDowns: 0, unread, collided: 0 });
  const made = makeTrace(trace);
  if (!made.ok) throw new Error(made.refusal.found);
  const analysed = analyzeRecording(made.trace);
  if (!analysed.ok) throw new Error(analysed.refusal.found);
  return { trace: made.trace, analysis: analysed.analysis };
}

function expectAround(estimate: Estimate | null, played: number) {
  expect(estimate).not.toBeNull();
  expect(estimate!.low95).toBeLessThanOrEqual(played);
  expect(estimate!.high95).toBeGreaterThanOrEqual(played);
}

const newSeal: PlayedShock = { ...stillShock, drag_N: [1.2, 1.1] };

describe('two builds recorded at 80 samples a second by the simulated board', { timeout: 120_000 }, () => {
  it('come out with the drag they were played with inside the interval, and which drags more', async () => {
    const before = await recorded(stillShock, 7);
    const after = await recorded(newSeal, 8);
    for (const [{ trace, analysis }, shock] of [
      [before, stillShock],
      [after, newSeal],
    ] as const) {
      expect(trace.rig).toMatchObject({ kernel: 'sinc4', samplesMissing: 0 });
      // Found from the stamps, not believed from the declared 80.
      expect(trace.rig.conversionPeriod_s).toBeCloseTo(1 / 81.3, 6);
      const [compression, rebound] = shock.drag_N;
      const { friction } = analysis;
      expectAround(friction.mean_N, (compression + rebound) / 2);
      expectAround(friction.compression_N, compression);
      expectAround(friction.rebound_N, rebound);
      // An interval is worth something: a twentieth of the drag at most.
      expect(friction.mean_N!.high95 - friction.mean_N!.low95).toBeLessThan(0.05 * compression);
      for (const [i, way] of (['compression', 'rebound'] as const).entries()) {
        const damping = analysis.damping[way].linear_Ns_per_m!.value;
        expect(Math.abs(damping / shock.linear_Ns_per_m[i]! - 1)).toBeLessThan(0.01);
      }
      expect(Math.abs(analysis.rig.lag_ms!.value)).toBeLessThan(0.3);
    }
    const { differences } = compareBuilds([before.analysis], [after.analysis]);
    const drag = differences.find(({ quantity }) => quantity === 'friction_N')!;
    expect(drag.verdict).toBe('higher');
    expectAround(drag.difference, 0.4);
  });

  it('comes out the same where the firmware does not know its converter, which the analysis then finds', async () => {
    const { trace, analysis } = await recorded(newSeal, 8, 'drive');
    expect(trace.rig.kernel).toBeNull();
    expect(analysis.rig.kernel).toBe('sinc4');
    expectAround(analysis.friction.mean_N, 1.15);
    expect(analysis.findings.map(({ code }) => code)).toContain('kernel-chosen');
  });
});
