import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Figures } from './benchmark.js';
import { writeLongRecording } from './long-recording.js';

export const name = 'many-files';
export const what = 'the built analyze command: all cores against one, and peak memory with 10 and 100 files';

/** Prints the peak of resident memory when the command ends. */
const peak = `data:text/javascript,${encodeURIComponent(`
  import { writeSync } from 'node:fs';
  import { isMainThread } from 'node:worker_threads';
  if (isMainThread) process.on('exit', () => writeSync(2, 'peak ' + process.resourceUsage().maxRSS));
`)}`;

export function run(print: (line: string) => void): Figures {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-many-'));
  try {
    const paths = Array.from({ length: 100 }, (_, i) => join(folder, `${i + 1}.csv`));
    for (const [seed, path] of paths.entries())
      writeLongRecording(path, { samples: 12_800, rate_Hz: 320, averagings: 0, seed: seed + 1 });
    const few = paths.slice(0, 10);
    analyze(few.slice(0, 2));
    const all = analyze(few);
    print(`10 files: ${all.seconds.toFixed(2)} s, peak ${all.peak_MB.toFixed(0)} MB`);
    const figures: Record<string, number> = { ten_s: all.seconds, ten_peak_MB: all.peak_MB };
    if (spawnSync('taskset', ['--version']).status === 0) {
      const one = analyze(few, ['taskset', '-c', '0']);
      print(
        `10 files on one core: ${one.seconds.toFixed(2)} s, ${(one.seconds / all.seconds).toFixed(2)} times as long`,
      );
      figures.oneCore_ratio = one.seconds / all.seconds;
    } else print('one core: left out, no taskset here');
    const bad = join(folder, 'bad.csv');
    writeFileSync(bad, 'no header\n');
    const many = analyze([...paths.slice(0, 50), bad, ...paths.slice(50)]);
    print(
      `101 files, one of them bad: ${many.seconds.toFixed(2)} s, peak ${many.peak_MB.toFixed(0)} MB, status ${many.status}`,
    );
    return { ...figures, hundred_s: many.seconds, hundred_peak_MB: many.peak_MB };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function analyze(paths: readonly string[], before: readonly string[] = []) {
  const command = [
    ...before,
    process.execPath,
    '--import',
    peak,
    'dist/dashboard/cli/main.js',
    'analyze',
    ...paths,
  ];
  const from = performance.now();
  const { status, stdout, stderr } = spawnSync(command[0]!, [...command.slice(1), '--json'], {
    encoding: 'utf8',
    maxBuffer: 1e8,
  });
  const seconds = (performance.now() - from) / 1e3;
  const files = stdout
    .trim()
    .split('\n')
    .map((line) => (JSON.parse(line) as { file: string }).file);
  if (files.join() !== paths.join()) throw new Error(`out of order: ${files.join()}`);
  return { seconds, status, peak_MB: Number(/peak (\d+)/.exec(stderr)?.[1]) / 1024 };
}
