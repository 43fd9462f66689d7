import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyzeRecording } from '../../analysis/index.js';
import { writeTraceCsv } from '../../daq/csv/write-trace-csv.js';
import { playLadder } from '../analysis/played/recording.js';
import type { Figures } from './benchmark.js';
import { shortest_s } from './timing.js';

export const name = 'scipy';
export const what =
  'analysis against the same model fitted by NumPy and SciPy on one core, on the same files';

const seeds = [1, 2, 3, 4, 5, 6];

/** What scipy-fit.py prints for a file. */
interface Peer {
  readonly samples: number;
  readonly fit_s: number;
  readonly mean_N: number;
  readonly evaluations: number;
  readonly scipy: string;
}

export async function run(print: (line: string) => void): Promise<Figures> {
  if (spawnSync('python3', ['-c', 'import scipy']).status !== 0) {
    print('left out: python3 with scipy is not installed here');
    return { leftOut: 'no scipy' };
  }
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-scipy-'));
  try {
    const played = seeds.map((seed) => playLadder(seed, { rate_Hz: 400 }));
    const paths = seeds.map((seed) => join(folder, `${seed}.csv`));
    for (const [i, path] of paths.entries()) await writeTraceCsv(path, played[i]!.trace);
    const oneCore = { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' };
    const program = join('tests', 'bench', 'scipy-fit.py');
    const answer = spawnSync('python3', [program, ...paths], { encoding: 'utf8', env: oneCore });
    if (answer.status !== 0) throw new Error(answer.stderr);
    const peers = answer.stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Peer);
    const told: number[] = [];
    const ratios: number[] = [];
    for (const [i, { trace, shock }] of played.entries()) {
      const peer = peers[i]!;
      const rig = { ...trace.rig, kernel: 'none' as const };
      const declared_s = await shortest_s(() => analyzeRecording({ ...trace, rig }), 3);
      const blind_s = await shortest_s(() => analyzeRecording(trace), 3);
      const outcome = analyzeRecording(trace);
      const truth_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
      const mean_N = outcome.ok ? (outcome.analysis.friction.mean_N?.value ?? Number.NaN) : Number.NaN;
      const us = (seconds: number) => ((1e6 * seconds) / peer.samples).toFixed(2);
      const off = (value: number) => `${(100 * (value / truth_N - 1)).toFixed(2)} %`;
      print(
        `${peer.samples} samples: SciPy ${us(peer.fit_s)} us/sample (${peer.evaluations} evaluations, drag off by ` +
          `${off(peer.mean_N)}), here ${us(declared_s)} told the kernel, ${us(blind_s)} not told (${off(mean_N)})`,
      );
      told.push(peer.fit_s / declared_s);
      ratios.push(peer.fit_s / blind_s);
    }
    const geometric = (values: readonly number[]) =>
      Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);
    print(
      `faster than SciPy ${peers[0]!.scipy} by ${geometric(told).toFixed(2)} told the kernel, ` +
        `${geometric(ratios).toFixed(2)} not told (above 1 is faster; geometric means)`,
    );
    return { fasterTold: geometric(told), fasterNotTold: geometric(ratios), scipy: peers[0]!.scipy };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
