import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openLogbook } from '../../daq/index.js';
import { ownedRig, simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { playDevice } from './played-device.js';
import { typeCli } from './typed-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-guided-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const logbook = join(folder, 'logbook.sqlite');
const SEED = 5;

const atRig = async (piece: string) => playDevice(folder, { seed: SEED, piece, mounting: 1, speedUp: 12 });

describe('a person at a terminal and a rig', () => {
  it('is led through set-up, masses and the check standard, one step at a time', async () => {
    const setUp = await atRig('bare-slide');
    const setup = typeCli([
      'setup',
      '--port',
      setUp.path,
      '--capacity',
      '98',
      '--stroke',
      '24',
      '--gravity',
      '9.8118',
      '--logbook',
      logbook,
    ]);
    await setup.until(/Press Enter when you have read this/);
    setup.type('\r');
    const hands = [{ hang: 0 }, { hang: 0.3 }, { hang: 0, holdAt: 0 }, { holdAt: 0.008 }];
    for (const [i, hand] of hands.entries()) {
      await setup.until(new RegExp(`Step ${i + 1} of 4: `));
      await setup.until(/Enter when it hangs still or stands:/);
      await setUp.hand(hand);
      setup.type('\r');
      await setup.until(/read: -?[\d.]+ counts, mean of \d+/);
    }
    expect(await setup.ended).toMatch(/Set up as profile 1 .*count the right way round/);

    const loaded = await atRig('bare-slide');
    const masses = ['--masses', '100,200,500,800,1000', '--runs', '1'];
    const calibrate = typeCli(['calibrate', 'force', '--port', loaded.path, ...masses, '--logbook', logbook]);
    await calibrate.until(/never over a foot/);
    await calibrate.until(/Press Enter when you have read this/);
    calibrate.type('\r');
    for (let step = 1; step <= 11; step++) {
      const [, grams] = await calibrate.until(
        new RegExp(`Step ${step} of 11: (?:take everything off the cell|hang (\\d+) g)`),
      );
      await calibrate.until(/Enter when it hangs still or stands:/);
      await loaded.hand({ hang: Number(grams ?? 0) / 1000 });
      calibrate.type('\r');
      await calibrate.until(/read: -?[\d.]+ counts/);
    }
    expect(await calibrate.ended).toMatch(/1000 counts are 45\.\d+ ± 0\.\d+ mN/);

    const book = openLogbook(logbook);
    const rigId = book.findRig('simulated rig')!;
    const { calibration } = book.addCalibrationPart(
      rigId,
      { part: 'position', value: simulatedRigCalibration.position },
      null,
    );
    book.close();
    const scale = calibration!.calibration.force.newton_per_count * ownedRig(SEED).cell.counts_per_N;
    expect(scale).toBeCloseTo(1, 3);

    const standing = await atRig('check-standard');
    const check = typeCli(['check', '--port', standing.path, '--logbook', logbook]);
    await check.until(/The drive is about to move/);
    await check.until(/Press Enter to start/);
    check.type('\r');
    expect(await check.ended).toMatch(/Measured\. Three more sittings and the check standard can tell/);
  }, 180_000);
});
