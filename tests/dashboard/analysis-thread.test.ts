import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { runCli } from './run-cli.js';

type Threads = typeof import('../../dashboard/workers/analysis-thread.js');

/** The built module: a worker is a file of its own, which only the build has. */
const built = fileURLToPath(new URL('../../dist/dashboard/workers/analysis-thread.js', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-thread-'));
const logbook = join(folder, 'logbook.sqlite');

beforeAll(async () => {
  if (!existsSync(built)) throw new Error(`${built} is missing: run 'npm run build' first`);
  for (const seed of [1, 2, 3]) {
    const path = join(folder, `${seed}.csv`);
    writeFileSync(path, ladderCsv({ seed, drag_N: 1, damping_Ns_per_m: 20, duration_s: 10 }));
    const { status, stderr } = await runCli(['import', path, '--build', 'any', '--logbook', logbook]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  }
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('analyses in turn, says how far it is, and ends what nobody wants any more without losing the rest', async () => {
  const { analysisThread } = (await import(pathToFileURL(built).href)) as Threads;
  const shares: [number, number][] = [];
  const running = new AbortController();
  const thread = analysisThread(logbook, (recordingId, share) => {
    shares.push([recordingId, share]);
    if (recordingId === 1) running.abort(new Error('not wanted'));
  });
  try {
    const waiting = new AbortController();
    const answers = Promise.allSettled([
      thread.analyse(1, running.signal),
      thread.analyse(2, waiting.signal),
      thread.analyse(3),
      thread.analyse(99),
    ]);
    waiting.abort(new Error('never begun'));
    const [first, second, third, unknown] = await answers;
    expect(first).toMatchObject({ status: 'rejected', reason: { message: 'not wanted' } });
    expect(second).toMatchObject({ status: 'rejected', reason: { message: 'never begun' } });
    expect(third).toMatchObject({ status: 'fulfilled', value: { ok: true, recordingId: 3 } });
    expect(unknown).toMatchObject({ status: 'rejected', reason: { code: 'unknown-name' } });
    expect(shares.map(([id]) => id)).not.toContain(2);
    const ofThird = shares.filter(([id]) => id === 3).map(([, share]) => share);
    expect(ofThird.length).toBeGreaterThan(2);
    expect(ofThird).toEqual([...ofThird].sort((a, b) => a - b));
    expect(ofThird.at(-1)).toBe(1);
  } finally {
    await thread.close();
  }
});
