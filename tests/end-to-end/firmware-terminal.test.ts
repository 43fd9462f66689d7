import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { spawnCli } from '../dashboard/run-cli.js';
import { type BoardBehindTerminal, boardBehindTerminal } from './board-behind-terminal.js';

describe.skipIf(process.platform === 'win32')('the firmware behind a real device node', () => {
  let folder: string;
  let device: BoardBehindTerminal;

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'firmware-terminal-'));
    device = await boardBehindTerminal('drive', folder);
  });

  afterEach(async () => {
    await device.end();
    rmSync(folder, { recursive: true });
  });

  const rigCheck = async () => {
    const finished = await spawnCli(['rig-check', '--port', device.path, '--json']);
    const { checks, identity } = JSON.parse(finished.stdout);
    const failed = (checks as { code: string; outcome: string; found: string }[]).filter(
      ({ outcome }) => outcome === 'failed',
    );
    return { ...finished, failed, identity };
  };

  it('passes the conformance run of the installed command, through serialport’s own binding', async () => {
    const { status, failed, identity } = await rigCheck();
    // Bytes of a busy machine come late, which is all that this check can see; the others do not look at the wall.
    expect(failed.filter(({ code }) => code !== 'clock')).toEqual([]);
    expect(status).toBe(failed.length === 0 ? 0 : 3);
    expect(identity).toMatchObject({ firmware: 'dashpot rig 1', drive: { lease_ms: 1000 } });
    expect(device.board.motor.power).toBe(0);
  });

  it('fails it without power, with status 3 and one line', async () => {
    await device.stop();
    const { status, failed, stderr } = await rigCheck();
    expect(status).toBe(3);
    expect(failed.map(({ code }) => code)).toEqual(['answers']);
    expect(stderr).toMatch(/^\S+: found 1 of \d+ checks failed \(answers\); wanted none\n$/);
  });
});
