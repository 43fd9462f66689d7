import { describe, expect, it } from 'vitest';
import { simulatedRig } from '../../daq/simulated-rig/index.js';
import { linesOf, runCli } from './run-cli.js';

const SEED = 7;

/** Mean drag that the simulated rig really played over three mountings of a build. */
function played_N(build: 'draggy-seal' | 'low-drag-seal'): number {
  const rig = simulatedRig({ seed: SEED, build, pace: 'simulated' });
  const drags = [1, 2, 3].map((mounting) => {
    rig.mount(build, mounting);
    return rig.truth().drag.mean_N;
  });
  return drags.reduce((sum, drag) => sum + drag, 0) / drags.length;
}

describe('demo --once', () => {
  it('says that it is simulated, and reports a drag difference whose interval covers the one that was played', async () => {
    const { status, stdout, stderr } = await runCli(['demo', '--once', '--seed', String(SEED)]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toMatch(/^Everything here is simulated/);
    expect(stdout).toMatch(/\nNext: dashpot-bench /);
    for (const line of linesOf(stdout)) expect([...line].length, line).toBeLessThanOrEqual(80);

    const text = stdout.replace(/\s+/g, ' ');
    const [, low, high] =
      /The low-drag seal drags [\d.]+ N less than the draggy seal \(95 %: ([\d.]+) to ([\d.]+)\)/.exec(
        text,
      ) ?? [];
    const less_N = played_N('draggy-seal') - played_N('low-drag-seal');
    expect(Number(low)).toBeLessThanOrEqual(less_N);
    expect(Number(high)).toBeGreaterThanOrEqual(less_N);
    expect(Number(high) - Number(low)).toBeLessThan(less_N / 2);
  }, 180_000);
});
