import { readdir, readlink } from 'node:fs/promises';
import { join, resolve } from 'node:path';

/** A serial port that may have a rig behind it. */
export interface PortListing {
  readonly path: string;
  /** What the system knows about the device, in its own words; empty where it knows nothing. */
  readonly description: string;
}

/**
 * Lists serial ports, those that look like USB devices first.
 * serialport asks udevadm on Linux and rejects where that is not installed (containers); the device nodes
 * themselves are listed then.
 */
export async function listPorts(): Promise<PortListing[]> {
  const { SerialPort } = await import('serialport');
  try {
    const ports = await SerialPort.list();
    const listings = ports.map(({ path, manufacturer, serialNumber, vendorId }) => ({
      path,
      description: [manufacturer, serialNumber].filter(Boolean).join(' '),
      isUsb: vendorId !== undefined,
    }));
    return listings
      .toSorted((a, b) => Number(b.isUsb) - Number(a.isUsb) || a.path.localeCompare(b.path))
      .map(({ path, description }) => ({ path, description }));
  } catch {
    return listDeviceNodes('/dev');
  }
}

/**
 * Lists USB serial nodes in a device folder, described by their links in `serial/by-id` where there are any.
 * @param folder `/dev`, or a folder laid out like it
 */
export async function listDeviceNodes(folder: string): Promise<PortListing[]> {
  const byId = join(folder, 'serial/by-id');
  const descriptions = new Map<string, string>();
  for (const name of await namesIn(byId))
    descriptions.set(resolve(byId, await readlink(join(byId, name)).catch(() => name)), name);
  const nodes = (await namesIn(folder)).filter((name) => /^tty(ACM|USB)\d+$/.test(name));
  const paths = new Set([...nodes.map((name) => join(folder, name)), ...descriptions.keys()]);
  return [...paths].toSorted().map((path) => ({ path, description: descriptions.get(path) ?? '' }));
}

function namesIn(folder: string): Promise<string[]> {
  return readdir(folder).catch(() => []);
}
