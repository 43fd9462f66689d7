import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { homedir, hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { capture, openLogbook } from '../../daq/index.js';
import { withoutPrivate } from '../../dashboard/cli/doctor-bundle.js';
import { runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-doctor-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Check = { name: string; state: string; found: string; todo: string };
const named = (checks: Check[], name: string) => checks.find((check) => check.name === name)!;

describe('doctor', () => {
  it('looks at everything, makes no logbook, and writes a bundle without names or private paths', async () => {
    const path = join(folder, 'private-name.sqlite');
    const logbook = openLogbook(path);
    const shock = logbook.createShock({ name: 'secret shock' });
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'secret build' });
    logbook.importRecording(
      {
        buildId,
        procedure: { ...capture('unknown', null), happened: [], events: [] },
        startedAt: '2026-01-02T03:04:05.000Z',
      },
      [{ kind: 'force', unit: 'N', times_s: Float64Array.of(0, 1), values: Float64Array.of(1, 2) }],
    );
    logbook.close();
    const bundle = join(folder, 'bundle.json');
    const { status, stdout } = await runCli(['doctor', '--bundle', bundle, '--logbook', path, '--json']);
    const { checks } = JSON.parse(stdout) as { checks: Check[] };
    for (const name of ['Node', 'Logbook module', 'Serial module', 'This machine', 'Disk', 'Logbook'])
      expect(named(checks, name)).toMatchObject({ state: 'good', todo: '' });
    expect(named(checks, 'Logbook').found).toMatch(/one recording, read through and whole/);
    expect(status).toBe(checks.some(({ state }) => state === 'bad') ? 1 : 0);

    const text = readFileSync(bundle, 'utf8');
    expect(JSON.parse(text).lastRecordings).toMatchObject([{ id: 1, state: 'complete' }]);
    for (const secret of ['secret', 'private-name', path]) expect(text).not.toContain(secret);
    expect((await runCli(['doctor', '--bundle', bundle, '--logbook', path])).status).toBe(2);

    const none = join(folder, 'none.sqlite');
    const looked = await runCli(['doctor', '--logbook', none, '--json']);
    expect(named(JSON.parse(looked.stdout).checks, 'Logbook').found).toMatch(/none yet/);
    expect(existsSync(none)).toBe(false);
  });

  it('says what is damaged and what to do, with status 1', async () => {
    const path = join(folder, 'damaged.sqlite');
    writeFileSync(path, 'not a logbook, though long enough to be looked at '.repeat(100));
    const { status, stdout } = await runCli(['doctor', '--logbook', path]);
    expect(status).toBe(1);
    expect(stdout).toMatch(/✗ +Logbook +some other kind of file\. Do: a logbook/);
  });

  it('writes home, machine and logbook as what they are', () => {
    const text = JSON.stringify({ a: `${homedir()}/x on ${hostname()}`, b: 'C:\\data\\log.db' });
    const left = withoutPrivate(text, 'C:\\data\\log.db');
    expect(left).not.toContain(homedir());
    expect(JSON.parse(left).b).toBe('<logbook>');
  });
});
