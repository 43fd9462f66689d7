import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyzeRecording, type KernelName, type Trace } from '../../analysis/index.js';
import { readTraceCsv } from '../../daq/csv/trace-csv.js';
import { writeTraceCsv } from '../../daq/csv/write-trace-csv.js';
import { playLadder } from '../analysis/played/recording.js';
import type { Figures } from './benchmark.js';
import { shortest_s } from './timing.js';

export const name = 'parsing';
export const what =
  'analysis against parsing its own CSV file, plain and through the converter, told and not told which';

const seeds = [1, 2, 3];
const kinds: readonly { label: string; kernel: KernelName; rate_Hz: number }[] = [
  { label: 'plain, 400/s', kernel: 'none', rate_Hz: 400 },
  { label: 'sinc4, 80/s', kernel: 'sinc4', rate_Hz: 80 },
];

export async function run(print: (line: string) => void): Promise<Figures> {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-parsing-'));
  const figures: Record<string, number | string> = {};
  try {
    for (const { label, kernel, rate_Hz } of kinds)
      for (const declared of [true, false]) {
        let parse_s = 0;
        let analyse_s = 0;
        let samples = 0;
        for (const seed of seeds) {
          const { trace } = playLadder(seed, { rate_Hz, kernel });
          const rig = declared ? { ...trace.rig, kernel, conversionPeriod_s: 1 / rate_Hz } : trace.rig;
          const path = join(folder, `${kernel}-${declared}-${seed}.csv`);
          await writeTraceCsv(path, trace);
          parse_s += await shortest_s(() => readTraceCsv(path), 60);
          analyse_s += await shortest_s(() => analysed({ ...trace, rig }));
          samples += trace.force.time_s.length;
        }
        const perSample_us = (1e6 * analyse_s) / samples;
        const kind = `${label}, kernel ${declared ? 'declared' : 'found out'}`;
        print(
          `${kind.padEnd(32)} ${(analyse_s / parse_s).toFixed(1).padStart(6)} times parsing, ` +
            `${perSample_us.toFixed(2)} us/sample (parsing ${((1e6 * parse_s) / samples).toFixed(3)})`,
        );
        figures[`${kind}: times parsing`] = analyse_s / parse_s;
        figures[`${kind}: us per sample`] = perSample_us;
      }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return figures;
}

function analysed(trace: Trace): void {
  const outcome = analyzeRecording(trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
}
