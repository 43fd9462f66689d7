import type { RigIdentity, RigLink } from '../../daq/index.js';

export interface RecordRigOptions {
  readonly port: string;
  readonly baud?: number;
  readonly plain?: string;
  readonly rig?: string;
  readonly json?: boolean;
}

/** How a rig is opened, and opened again after its plug was out. */
export interface RecordRig {
  open(): Promise<RigLink>;
  reopen(rigName: string, within_s: number, signal: AbortSignal): Promise<RigLink>;
}

/** The baud rate of most sketches that print numbers. Common practice, no source. */
const PLAIN_BAUD = 115_200;

/** A rig that speaks the protocol, or one that sends plain lines. */
export function recordRig(options: RecordRigOptions, daq: typeof import('../../daq/index.js')): RecordRig {
  const { port: path, baud, plain, rig = 'plain rig' } = options;
  if (plain === undefined) {
    const link = {
      path,
      ...(baud !== undefined && { baudRate: baud }),
      onBaudRate(baudRate: number) {
        if (baudRate !== daq.DEFAULT_BAUD)
          process.stderr.write(`Nothing that can be read; trying ${baudRate} baud for 3 s.\n`);
      },
    };
    return {
      open: () => daq.openRigLink(link),
      reopen: (rigName, within_s, signal) => daq.reopenRigLink(link, rigName, within_s, signal),
    };
  }
  const link = { path, baudRate: baud ?? PLAIN_BAUD, form: daq.parsePlainForm(plain), rigName: rig };
  return {
    open: () => daq.openPlainLink(link),
    reopen: (rigName, within_s, signal) =>
      daq.reopenRigLink(link, rigName, within_s, signal, () => daq.openPlainLink(link)),
  };
}

/** "Connected to 'garage rig' (firmware 1.2) on /dev/ttyACM0: force 320/s, position 400/s, with a drive." */
export function connectedTo(
  { rigName, firmware, channels, drive, unchecked }: RigIdentity,
  path: string,
): string {
  const rates = channels.map(({ kind, rate_mHz }) => `${kind} ${Math.round(rate_mHz / 1000)}/s`).join(', ');
  const sentence = `Connected to '${rigName}' (firmware ${firmware}) on ${path}: ${rates}, ${drive ? 'with' : 'without'} a drive.`;
  return unchecked ? `${sentence} ${UNCHECKED}` : sentence;
}

/** Said wherever a recording of plain lines is. */
export const UNCHECKED =
  'Its lines are unchecked: without a checksum a damaged number passes for a right one, and lost lines are not counted.';
