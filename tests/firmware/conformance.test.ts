import { describe, expect, it } from 'vitest';
import { checkRig } from '../../daq/conformance/check-rig.js';
import { type BoardPortOptions, boardPort } from './machine/board-port.js';

async function outcomes(options: BoardPortOptions, baudRate: number) {
  const port = boardPort(options);
  port.board.runFor(0.3);
  const { checks, identity } = await checkRig({ ...port, baudRate, drive: true });
  const codes = (outcome: string) =>
    checks.flatMap((check) => (check.outcome === outcome ? [check.code] : []));
  return { port, identity, failed: codes('failed'), unseen: codes('unseen') };
}

const driveChecks = ['drive-range', 'drive-beats', 'drive-halt', 'drive-lease', 'drive-tripped'];

describe('the firmware on the simulated controller passes the conformance run', () => {
  it('with a drive, through a boot loader; the drive is left tripped and still', async () => {
    const { port, failed, unseen } = await outcomes(
      { program: 'drive-angle-temperature', seed: 1, bootLoader: true },
      250_000,
    );
    expect({ failed, unseen }).toEqual({ failed: [], unseen: ['no-drive'] });
    expect(port.board.motor.power).toBe(0);
  });

  it('without a drive, at 115 200 baud', async () => {
    const { failed, unseen } = await outcomes({ program: 'slide-115200', seed: 1 }, 115_200);
    expect({ failed, unseen }).toEqual({ failed: [], unseen: driveChecks });
  });

  it('on a board that opening the port does not reset, of which no banner is seen', async () => {
    const { failed, unseen } = await outcomes({ program: 'slide', seed: 1, resetsOnOpen: false }, 250_000);
    expect({ failed, unseen }).toEqual({ failed: [], unseen: ['banner', ...driveChecks] });
  });
});

describe('a board that is wired wrongly is told', () => {
  it('by its rate, when the converter’s jumper says 10 samples a second where the firmware was told 80', async () => {
    const { failed } = await outcomes({ program: 'slide', seed: 1, converter: { rate_Hz: 10 } }, 250_000);
    expect(failed).toEqual(['rates']);
  });

  it('by another baud rate than its own', async () => {
    const { failed, identity } = await outcomes({ program: 'slide', seed: 1 }, 115_200);
    expect(identity).toBeNull();
    expect(failed).toEqual(['answers']);
  });
});
