/**
 * What lets a rig be opened through serialport: the shape of its bindings, as far as this room relies on it.
 * serialport's own native binding has it, and so has the simulated rig.
 * Source: the interface that serialport 13 calls (`@serialport/bindings-interface`, type declarations).
 */
export interface PortBinding {
  list(): Promise<BindingPortInfo[]>;
  open(options: BindingOpenOptions): Promise<BindingPort>;
}

export interface BindingOpenOptions {
  readonly path: string;
  readonly baudRate: number;
}

export interface BindingPortInfo {
  path: string;
  manufacturer: string | undefined;
  serialNumber: string | undefined;
  pnpId: string | undefined;
  locationId: string | undefined;
  productId: string | undefined;
  vendorId: string | undefined;
}

export interface BindingPort {
  readonly openOptions: BindingOpenOptions;
  isOpen: boolean;
  /** Ends a read that is waiting with an error whose `canceled` is true. */
  close(): Promise<void>;
  /** Resolves with at least one byte; waits for it as long as it takes. */
  read(buffer: Buffer, offset: number, length: number): Promise<{ buffer: Buffer; bytesRead: number }>;
  write(buffer: Buffer): Promise<void>;
  update(options: { baudRate: number }): Promise<void>;
  set(options: { dtr?: boolean; rts?: boolean; brk?: boolean; cts?: boolean; dsr?: boolean }): Promise<void>;
  get(): Promise<{ cts: boolean; dsr: boolean; dcd: boolean }>;
  getBaudRate(): Promise<{ baudRate: number }>;
  flush(): Promise<void>;
  drain(): Promise<void>;
}
