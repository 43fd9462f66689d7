import { describe, expect, it } from 'vitest';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type BoardPort, type BoardPortOptions, boardPort } from './machine/board-port.js';

/** A board that has been on for a while, and the link to it, which resets it on opening. */
async function linked(options: Partial<BoardPortOptions> & { baudRate?: number } = {}) {
  const { baudRate = 250_000, ...rest } = options;
  const port = boardPort({ program: 'drive', seed: 1, ...rest });
  port.board.runFor(0.3);
  const opened_s = port.board.time_s;
  const link = await openRigLink({ path: port.path, binding: port.binding, clock: port.clock, baudRate });
  return { port, link, took_s: port.board.time_s - opened_s };
}

const passes = (port: BoardPort, time_s: number) =>
  new Promise<void>((resolve) => void port.clock.after(time_s * 1000, resolve));

const codeOf = (what: Promise<unknown>) =>
  what.then(
    () => 'nothing was thrown',
    (error: { code: string }) => error.code,
  );

describe('a board is identified', () => {
  it('through the reset of opening and its boot loader, in a second', async () => {
    const { port, link, took_s } = await linked({ bootLoader: true });
    expect(port.board.resets.map(({ cause }) => cause)).toEqual(['power', 'external']);
    expect(took_s).toBeLessThan(1);
    expect(link.identity()).toEqual({
      protocolVersion: 1,
      firmware: 'dashpot rig 1',
      rigName: 'home rig',
      channels: [
        {
          kind: 'force',
          unit: 'counts',
          counts_min: -8_388_608,
          counts_max: 8_388_607,
          rate_mHz: 80_000,
          delay_us: 0,
          kernel: 'unknown',
        },
        {
          kind: 'position',
          unit: 'counts',
          counts_min: 0,
          counts_max: 16_368,
          rate_mHz: 400_000,
          delay_us: 18,
          kernel: 'none',
        },
      ],
      drive: { speedMin_mHz: 100, speedMax_mHz: 4000, lease_ms: 1000 },
    });
    await link.close();
  });

  it('while it streams all it can, left so by a program that crashed, and is brought to rest', async () => {
    const first = await linked({ resetsOnOpen: false });
    await first.link.startSampling();
    await first.link.setDriveSpeed(1);
    await passes(first.port, 0.5);
    first.port.pullCable();
    const link = await openRigLink({
      path: first.port.path,
      binding: first.port.binding,
      clock: first.port.clock,
    });
    expect(first.port.board.resets).toHaveLength(1);
    expect(first.port.board.motor.power).toBe(0);
    await link.startSampling();
    await passes(first.port, 0.5);
    expect((await link.stopSampling()).linesDecoded).toBeGreaterThan(230);
    await link.close();
  });

  it('at 115 200 baud, of which its 16 MHz make 117 647', async () => {
    const { port, link } = await linked({ program: 'slide-115200', baudRate: 115_200 });
    expect(port.board.chip.usart.baudRate / 115_200).toBeCloseTo(1.021, 3);
    await link.startSampling();
    await passes(port, 1);
    expect(await link.stopSampling()).toMatchObject({ linesMissing: 0, linesSkipped: {} });
    await link.close();
  });

  it('not at another baud rate than its own, and the message says so', async () => {
    const port = boardPort({ program: 'slide', seed: 1 });
    const opening = openRigLink({
      path: port.path,
      binding: port.binding,
      clock: port.clock,
      baudRate: 115_200,
    });
    await expect(opening).rejects.toThrow(/another baud rate/);
    expect(await codeOf(opening)).toBe('rig-unreadable');
  });
});

describe('an identified board', () => {
  it('takes the nearest rate it has, and says which', async () => {
    const { link } = await linked();
    await link.setRate('position', 333);
    const position = link.identity().channels.find(({ kind }) => kind === 'position')!;
    // 2 000 000 ticks a second over 6006.
    expect(position.rate_mHz).toBe(333_000);
    expect(await codeOf(link.setRate('position', 5000))).toBe('command-refused');
    expect(await codeOf(link.setRate('force', 320))).toBe('command-refused');
    await link.close();
  });

  it('turns as long as the host lives, and stops by itself a lease later', async () => {
    const { port, link } = await linked();
    await link.setDriveSpeed(1.5);
    await passes(port, 3);
    expect(port.board.shock.speed_rev_per_s).toBeGreaterThan(1.45);
    expect(port.board.shock.speed_rev_per_s).toBeLessThan(1.55);
    port.pullCable();
    port.board.runFor(0.7);
    expect(port.board.motor.power).toBeGreaterThan(0);
    port.board.runFor(0.4);
    expect(port.board.motor.power).toBe(0);
  });
});
