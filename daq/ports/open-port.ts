import type { Duplex } from 'node:stream';
import type { PortBinding } from './port-binding.js';
import { portFailure } from './port-failure.js';

/** Exact on a 16 MHz microcontroller, where the customary 115200 is off by 2 %. */
export const DEFAULT_BAUD = 250_000;

export interface PortOptions {
  /** Device node or port name. */
  readonly path: string;
  /** 250 000 where it is left out. */
  readonly baudRate?: number | undefined;
  /** A played rig; serialport's native binding where it is left out. */
  readonly binding?: PortBinding;
}

/** An open port. 'close' comes once, with an error when the device went away. */
export interface OpenPort extends Duplex {
  readonly path: string;
  readonly isOpen: boolean;
  close(done?: (error: Error | null) => void): void;
  /** Changes the baud rate of an open port, without the reset that opening it anew would bring. */
  update(options: { baudRate: number }, done?: (error: Error | null) => void): void;
}

/**
 * Opens a serial port.
 * @throws DaqError 'port-missing', 'port-forbidden' (naming the group to join), 'port-busy', 'port-failed'
 * @remarks most boards reset when a port is opened (the system raises DTR); whoever reads must expect that.
 *   No control line is set or read here: a pseudo-terminal refuses both.
 */
export async function openPort({ path, baudRate = DEFAULT_BAUD, binding }: PortOptions): Promise<OpenPort> {
  const { SerialPort } = await import('serialport');
  // SerialPort passes a binding through to its stream, which its own types leave out.
  const options = { path, baudRate, autoOpen: false, ...(binding && { binding }) };
  const port = new SerialPort(options);
  const failure = await new Promise<Error | null>((resolve) => {
    port.open((error) => resolve(error ?? null));
  });
  if (failure) throw await portFailure(path, failure);
  return port;
}
