import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Figures } from './benchmark.js';
import { type LongRecording, writeLongRecording } from './long-recording.js';

export const name = 'growth';
export const what = 'time per sample and peak memory as recordings grow; each size is a fresh process';

const plain = { rate_Hz: 320, averagings: 0, seed: 1 };
const averaged = { rate_Hz: 80, averagings: 4, seed: 2 };
const cases: readonly { label: string; recording: LongRecording }[] = [
  ...[20e3, 200e3, 2e6].map((samples) => ({ label: 'plain', recording: { ...plain, samples } })),
  ...[20e3, 200e3].map((samples) => ({ label: 'sinc4', recording: { ...averaged, samples } })),
];

/** What analyse-one prints. */
export interface Cost {
  readonly samples: number;
  readonly parse_s: number;
  readonly analyse_s: number;
  readonly peak_MB: number;
  readonly outcome: unknown;
}

export function run(print: (line: string) => void): Figures {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-growth-'));
  const figures: Record<string, number | string> = {};
  try {
    for (const { label, recording } of cases) {
      const path = join(folder, `${label}-${recording.samples}.csv`);
      writeLongRecording(path, recording);
      const size_MB = statSync(path).size / 1e6;
      const cost = costOf(path);
      rmSync(path);
      const perSample_us = (1e6 * cost.analyse_s) / cost.samples;
      print(
        `${label.padEnd(6)} ${String(cost.samples).padStart(8)} samples (${size_MB.toFixed(1)} MB): ` +
          `${perSample_us.toFixed(2)} us/sample, ${cost.analyse_s.toFixed(2)} s, ` +
          `${(cost.analyse_s / cost.parse_s).toFixed(1)} times parsing, peak ${cost.peak_MB.toFixed(0)} MB`,
      );
      const key = `${label}_${cost.samples}`;
      figures[`${key}_us_per_sample`] = perSample_us;
      figures[`${key}_peak_MB`] = cost.peak_MB;
      figures[`${key}_outcome`] = JSON.stringify(cost.outcome);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return figures;
}

/** Analyses a file in a fresh process; a kernel may be declared. */
export function costOf(path: string, ...declared: string[]): Cost {
  // The bundle of that program lies beside this one's.
  const program = join(import.meta.dirname, 'analyse-one.js');
  return JSON.parse(
    execFileSync(process.execPath, [program, path, ...declared], { encoding: 'utf8', maxBuffer: 1e6 }),
  ) as Cost;
}
