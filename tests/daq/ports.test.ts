import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { listDeviceNodes, listPorts } from '../../daq/ports/list-ports.js';
import { openPort } from '../../daq/ports/open-port.js';
import type { PortBinding } from '../../daq/ports/port-binding.js';
import { portFailure } from '../../daq/ports/port-failure.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'ports-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('listing ports', () => {
  it('works on a machine without udev as well', async () => {
    const path = process.env.PATH;
    process.env.PATH = folder;
    try {
      expect(await listPorts()).toBeInstanceOf(Array);
    } finally {
      process.env.PATH = path;
    }
  });

  it('falls back to the device nodes, named by their links', async () => {
    for (const node of ['ttyACM0', 'ttyUSB1', 'ttyS0', 'tty1', 'null']) writeFileSync(join(folder, node), '');
    mkdirSync(join(folder, 'serial/by-id'), { recursive: true });
    symlinkSync('../../ttyACM0', join(folder, 'serial/by-id/usb-some_board-if00'));
    expect(await listDeviceNodes(folder)).toEqual([
      { path: join(folder, 'ttyACM0'), description: 'usb-some_board-if00' },
      { path: join(folder, 'ttyUSB1'), description: '' },
    ]);
    expect(await listDeviceNodes(join(folder, 'nothing'))).toEqual([]);
  });
});

describe('a port that cannot be opened', () => {
  it.runIf(process.platform === 'linux')(
    'is said in words by the native binding: missing, no port at all',
    async () => {
      const missing = join(folder, 'ttyACM9');
      await expect(openPort({ path: missing })).rejects.toMatchObject({ code: 'port-missing' });
      writeFileSync(missing, '');
      await expect(openPort({ path: missing })).rejects.toMatchObject({
        code: 'port-failed',
        message: `${missing}: found something that is not a serial port; wanted a serial port`,
      });
    },
  );

  it.each([
    ['Error: No such file or directory, cannot open /dev/x', 'port-missing', /no such port/],
    ['Opening COM9: File not found', 'port-missing', /no such port/],
    ['Error: Permission denied, cannot open /dev/x', 'port-forbidden', /no permission/],
    ['Opening COM3: Access denied', 'port-forbidden', /no permission/],
    ['Error: Resource temporarily unavailable Cannot lock port', 'port-busy', /another program holds/],
    ['Error: Device or resource busy, cannot open /dev/x', 'port-busy', /another program holds/],
    ['Error: Input/output error, cannot open /dev/x', 'port-failed', /found Input\/output error/],
  ])('%s is %s', async (text, code, message) => {
    const failing: PortBinding = { list: async () => [], open: () => Promise.reject(new Error(text)) };
    const error = await openPort({ path: '/dev/x', binding: failing }).catch((reason) => reason);
    expect(error.code).toBe(code);
    expect(error.message).toMatch(message);
    expect(error.isRigFailure).toBe(true);
  });

  it.runIf(process.platform === 'linux')('names the group that owns the node, or dialout', async () => {
    const denied = new Error('Error: Permission denied, cannot open');
    expect((await portFailure('/', denied)).message).toContain('wanted a user in group root: run');
    expect((await portFailure('/dev/nowhere', denied)).message).toContain('usermod -a -G dialout');
  });
});
