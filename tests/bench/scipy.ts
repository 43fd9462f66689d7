import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyzeRecording, makeTrace, type Trace } from '../../analysis/index.js';
import { readTraceCsv } from '../../daq/csv/trace-csv.js';
import { writeTraceCsv } from '../../daq/csv/write-trace-csv.js';
import { playLadder } from '../analysis/played/recording.js';
import type { Figures } from './benchmark.js';
import { writeLongRecording } from './long-recording.js';
import { shortest_s } from './timing.js';

export const name = 'scipy';
export const what =
  'analysis against a smaller model fitted by NumPy and SciPy on one core, on the same files of growing size';

const seeds = [1, 2, 3, 4, 5, 6];
const longSizes = [200e3, 1e6];

/** What scipy-fit.py prints for a file. */
interface Peer {
  readonly samples: number;
  readonly fit_s: number;
  readonly mean_N: number;
  readonly evaluations: number;
  /** The shortest of so many counts. */
  readonly runs: number;
  readonly scipy: string;
}

/** One file, and the mean drag that was played. */
interface Case {
  readonly path: string;
  readonly truth_N: number;
}

export async function run(print: (line: string) => void): Promise<Figures> {
  if (spawnSync('python3', ['-c', 'import scipy']).status !== 0) {
    print('left out: python3 with scipy is not installed here');
    return { leftOut: 'no scipy' };
  }
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-scipy-'));
  const figures: Record<string, number | string> = {};
  try {
    for (const [label, cases] of [
      ['16 thousand', await ladders(folder)],
      ...longSizes.map((samples) => [`${samples / 1e3} thousand`, [longLadder(folder, samples)]] as const),
    ] as const) {
      const told: number[] = [];
      const notTold: number[] = [];
      let scipy = '';
      for (const each of cases) {
        const peer = peerOn(each.path);
        scipy = peer.scipy;
        const { told_s, notTold_s, mean_N } = await ownOn(each.path, peer.runs);
        const us = (seconds: number) => ((1e6 * seconds) / peer.samples).toFixed(2);
        const off = (value: number) => `${(100 * (value / each.truth_N - 1)).toFixed(2)} %`;
        print(
          `${peer.samples} samples: SciPy ${us(peer.fit_s)} us/sample (${peer.evaluations} evaluations, drag off by ` +
            `${off(peer.mean_N)}), here ${us(told_s)} told the kernel, ${us(notTold_s)} not told (${off(mean_N)})`,
        );
        told.push(peer.fit_s / told_s);
        notTold.push(peer.fit_s / notTold_s);
      }
      print(
        `${label} samples: faster than SciPy ${scipy} by ${geometric(told).toFixed(2)} told the kernel, ` +
          `${geometric(notTold).toFixed(2)} not told (above 1 is faster; geometric means)`,
      );
      figures[`${label}: faster, told`] = geometric(told);
      figures[`${label}: faster, not told`] = geometric(notTold);
      figures.scipy = scipy;
    }
    return figures;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function ladders(folder: string): Promise<Case[]> {
  const cases: Case[] = [];
  for (const seed of seeds) {
    const { trace, shock } = playLadder(seed, { rate_Hz: 400 });
    const path = join(folder, `${seed}.csv`);
    await writeTraceCsv(path, trace);
    cases.push({ path, truth_N: 0.5 * (shock.dragCompression_N + shock.dragRebound_N) });
  }
  return cases;
}

function longLadder(folder: string, samples: number): Case {
  const path = join(folder, `long-${samples}.csv`);
  writeLongRecording(path, { samples, rate_Hz: 320, averagings: 0, seed: 1 });
  return { path, truth_N: 0.7 };
}

function peerOn(path: string): Peer {
  const env = { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' };
  const program = join('tests', 'bench', 'scipy-fit.py');
  const answer = spawnSync('python3', [program, path], { encoding: 'utf8', env });
  if (answer.status !== 0) throw new Error(answer.stderr);
  return JSON.parse(answer.stdout) as Peer;
}

async function ownOn(path: string, runs: number) {
  const { trace: read } = await readTraceCsv(path);
  const traceWith = (rig: Partial<Trace['rig']>): Trace => {
    const made = makeTrace({ ...read, rig });
    if (!made.ok) throw new Error(made.refusal.found);
    return made.trace;
  };
  const [told, notTold] = [traceWith({ kernel: 'none' }), traceWith({})];
  const told_s = await shortest_s(() => analyzeRecording(told), runs, 600);
  const notTold_s = await shortest_s(() => analyzeRecording(notTold), runs, 600);
  const outcome = analyzeRecording(notTold);
  return {
    told_s,
    notTold_s,
    mean_N: outcome.ok ? (outcome.analysis.friction.mean_N?.value ?? Number.NaN) : Number.NaN,
  };
}

const geometric = (values: readonly number[]): number =>
  Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);
