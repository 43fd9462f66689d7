import type { BindingOpenOptions, BindingPort, PortBinding } from '../ports/port-binding.js';
import type { Device } from './device.js';
import type { Pace } from './pace.js';
import type { Wire } from './wire.js';

export const simulatedPortPath = 'simulated-rig';

export interface SimulatedBinding extends PortBinding {
  readonly isOpen: boolean;
}

/**
 * The port behind which the device sits, in the shape serialport asks of its bindings.
 * @param device what is at the other end
 * @param wire what lies between
 * @param now_s true time
 * @param pace makes time pass while a read waits; asked for late because it needs to know whether the port is open
 */
export function simulatedBinding(
  device: Device,
  wire: Wire,
  now_s: () => number,
  pace: () => Pace,
): SimulatedBinding {
  let current: BindingPort | null = null;

  const unplugged = () => now_s() < device.unpluggedUntil_s;

  return {
    get isOpen() {
      return current !== null;
    },
    async list() {
      const nothing = undefined;
      const known = { manufacturer: nothing, serialNumber: nothing, pnpId: nothing };
      const place = { locationId: nothing, productId: nothing, vendorId: nothing };
      return unplugged() ? [] : [{ path: simulatedPortPath, ...known, ...place }];
    },
    async open(openOptions: BindingOpenOptions) {
      // Worded as the native binding words them on Linux, so that they are understood alike.
      if (openOptions.path !== simulatedPortPath || unplugged())
        throw new Error(`Error: No such file or directory, cannot open ${openOptions.path}`);
      if (current) throw new Error(`Error Resource temporarily unavailable Cannot lock port`);
      const port = simulatedPort(openOptions);
      current = port;
      wire.baudRate = openOptions.baudRate;
      wire.flush();
      device.open();
      pace().wake();
      return port;
    },
  };

  function simulatedPort(openOptions: BindingOpenOptions): BindingPort {
    function insist() {
      if (!port.isOpen) throw canceled('the port is closed');
    }
    const port: BindingPort = {
      openOptions,
      isOpen: true,
      async close() {
        insist();
        port.isOpen = false;
        current = null;
        pace().wake();
      },
      async read(buffer, offset, length) {
        for (;;) {
          insist();
          if (unplugged()) throw new Error('the rig was unplugged');
          if (wire.arrived > 0)
            return { buffer, bytesRead: wire.receive(buffer.subarray(offset, offset + length)) };
          await pace().advance();
        }
      },
      async write(buffer) {
        insist();
        if (unplugged()) throw new Error('the rig was unplugged');
        device.receive(buffer);
        pace().wake();
      },
      async update({ baudRate }) {
        insist();
        wire.baudRate = baudRate;
      },
      async set() {
        insist();
      },
      async get() {
        insist();
        return { cts: false, dsr: false, dcd: false };
      },
      async getBaudRate() {
        insist();
        return { baudRate: wire.baudRate };
      },
      async flush() {
        insist();
        wire.flush();
      },
      async drain() {
        insist();
      },
    };
    return port;
  }
}

function canceled(message: string): Error {
  return Object.assign(new Error(message), { canceled: true });
}
