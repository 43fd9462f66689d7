import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { openLogbook } from '../../daq/index.js';
import { typeCli } from './typed-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-by-hand-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
const path = at('tty');
/** Device seconds per second. */
const SPEED_UP = 4;

/** Plugs the rig in; its crank stands until a hand turns it. */
async function plugIn(): Promise<{ unplug(): Promise<void> }> {
  turnAt(0);
  const script = fileURLToPath(new URL('./hand-cranked.mjs', import.meta.url));
  const socat = spawn('socat', [`PTY,raw,echo=0,link=${path},wait-slave`, 'SYSTEM:exec $CRANKED'], {
    env: { ...process.env, CRANKED: `${process.execPath} ${script} ${folder} ${SPEED_UP}` },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  const gone = new Promise<void>((resolve) => socat.on('close', () => resolve()));
  while (!existsSync(path)) await pause(20);
  return {
    async unplug() {
      socat.kill();
      await gone;
    },
  };
}

const turnAt = (speed_rev_per_s: number) => writeFileSync(at('hand'), String(speed_rev_per_s));

describe('a crank turned by hand', () => {
  it('is led through its speeds, kept when the plug comes out, and gone on with when it is in again', async () => {
    writeFileSync(
      at('calibration.json'),
      JSON.stringify({
        force: { newton_per_count: 1 / 20_000, zero_counts: 0 },
        position: { metre_per_count: 1 / 270_000, zero_counts: 0 },
      }),
    );
    const logbook = at('logbook.sqlite');
    const rig = ['--port', path, '--plain', 'time_us,force,position', '--rig', 'hand crank'];
    const build = ['--build', 'as found', '--shock', 'invented', '--temperature', '24.5'];
    let plug = await plugIn();
    const cli = typeCli([
      'record',
      ...rig,
      ...build,
      '--by-hand',
      '--ladder',
      '0.8x3,1.6x4,2.4x4',
      '--reconnect',
      '30',
      '--calibration',
      at('calibration.json'),
      '--logbook',
      logbook,
    ]);
    await cli.until(/Connected to 'hand crank'.*without a drive/);
    await cli.until(/Step 1 of 3: turn at about 0\.8 rev\/s/);
    turnAt(0.4);
    await cli.until(/faster/);
    turnAt(0.8);
    await cli.until(/good/);
    await cli.until(/Step 2 of 3: turn at about 1\.6 rev\/s/);
    turnAt(1.6);
    await cli.until(/good 1\.\d of 4 turns/);
    await plug.unplug();
    await cli.until(/Kept [\d.]+ s as recording:1\. Waiting up to 30 s/);
    plug = await plugIn();

    // The step it was in begins anew; Enter leaves it, and the last one ends by its turns.
    await cli.until(/Step 1 of 2: turn at about 1\.6 rev\/s/);
    turnAt(1.6);
    await cli.until(/good/);
    cli.type('\r');
    await cli.until(/Step 2 of 2: turn at about 2\.4 rev\/s/);
    turnAt(2.4);
    expect(await cli.ended).toMatch(/Recorded [\d.]+ s of 'as found', mounting 1, as recording:2/);
    await plug.unplug();

    const book = openLogbook(logbook, { readOnly: true });
    const [first, second] = book.listRecordings();
    expect(first).toMatchObject({ state: 'interrupted', continues: null, remount: 1 });
    expect(second).toMatchObject({ state: 'complete', continues: first!.id, remount: 1 });
    expect(second!.procedure).toMatchObject({
      movedBy: 'hand',
      happened: [{ speed_rev_per_s: 1.6 }, { speed_rev_per_s: 2.4 }],
    });
    expect(second!.procedure.happened[1]!.measured_rev_per_s! / 2.4).toBeCloseTo(1, 1);
    for (const { id } of [first!, second!])
      expect([...book.readRecording(id).trace.temperature!.temperature_degC]).toEqual([24.5, 24.5]);
    book.close();
  }, 120_000);
});
