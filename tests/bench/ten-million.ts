import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Figures } from './benchmark.js';
import { costOf } from './growth.js';
import { writeLongRecording } from './long-recording.js';

export const name = 'ten-million';
export const what =
  'a recording of ten million samples, 2.8 h at 1000 samples/s: an answer or a refusal, and its memory';

export const long = true;

export function run(print: (line: string) => void): Figures {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-ten-million-'));
  try {
    const path = join(folder, 'recording.csv');
    writeLongRecording(path, { samples: 1e7, rate_Hz: 1000, averagings: 0, seed: 1 });
    const { samples, parse_s, analyse_s, peak_MB, outcome } = costOf(path);
    print(
      `${samples} samples: parsed in ${parse_s.toFixed(1)} s, analysed in ${analyse_s.toFixed(1)} s ` +
        `(${((1e6 * analyse_s) / samples).toFixed(2)} us/sample), peak ${peak_MB.toFixed(0)} MB: ${JSON.stringify(outcome)}`,
    );
    return { parse_s, analyse_s, peak_MB, outcome: JSON.stringify(outcome) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
