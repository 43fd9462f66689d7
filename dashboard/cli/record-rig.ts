import type { RigIdentity, RigLink } from '../../daq/index.js';
import { badInput } from './failure.js';
import { PRACTICE_SEED } from './rig-at-port.js';

export interface RecordRigOptions {
  readonly port: string;
  readonly baud?: number;
  readonly plain?: string;
  readonly rig?: string;
  readonly plays?: string;
  readonly json?: boolean;
}

/** How a rig is opened, and opened again after its plug was out. */
export interface RecordRig {
  /** Of the simulated rig; null for a real one. */
  readonly simulated: { readonly seed: number } | null;
  /** Takes the shock off the simulated rig and puts it back; a person does that at a real one. */
  mount(remount: number): void;
  open(): Promise<RigLink>;
  reopen(rigName: string, within_s: number, signal: AbortSignal): Promise<RigLink>;
}

/** The baud rate of most sketches that print numbers. Common practice, no source. */
const PLAIN_BAUD = 115_200;

/**
 * A rig that speaks the protocol, one that sends plain lines, or the simulated one by its name.
 * @throws CommandFailure for something that the simulated rig cannot play
 */
export async function recordRig(
  options: RecordRigOptions,
  daq: typeof import('../../daq/index.js'),
): Promise<RecordRig> {
  const { port: path, baud, plain, rig = 'plain rig' } = options;
  const { simulatedPortPath } = await import('../../daq/simulated-rig/index.js');
  if (path === simulatedPortPath) return playedRig(options.plays ?? 'draggy-seal', daq);
  if (options.plays !== undefined)
    throw badInput(`--plays ${options.plays} at ${path}`, `--port ${simulatedPortPath} beside it`);
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
      ...real,
      open: () => daq.openRigLink(link),
      reopen: (rigName, within_s, signal) => daq.reopenRigLink(link, rigName, within_s, signal),
    };
  }
  const link = { path, baudRate: baud ?? PLAIN_BAUD, form: daq.parsePlainForm(plain), rigName: rig };
  return {
    ...real,
    open: () => daq.openPlainLink(link),
    reopen: (rigName, within_s, signal) =>
      daq.reopenRigLink(link, rigName, within_s, signal, () => daq.openPlainLink(link)),
  };
}

const real = { simulated: null, mount() {} } as const;

/** The simulated rig, in simulated time: over in a moment. */
async function playedRig(name: string, daq: typeof import('../../daq/index.js')): Promise<RecordRig> {
  const { simulatedBuilds, simulatedRig } = await import('../../daq/simulated-rig/index.js');
  const build = Object.keys(simulatedBuilds).find((known) => known === name) as
    | keyof typeof simulatedBuilds
    | undefined;
  if (!build) throw badInput(`--plays ${name}`, `one of ${Object.keys(simulatedBuilds).join(', ')}`);
  const played = simulatedRig({ seed: PRACTICE_SEED, build, pace: 'simulated' });
  const link = { path: played.path, binding: played.binding, clock: played.clock };
  return {
    simulated: { seed: PRACTICE_SEED },
    mount: (remount) => played.mount(build, remount),
    open: () => daq.openRigLink(link),
    reopen: (rigName, within_s, signal) => daq.reopenRigLink(link, rigName, within_s, signal),
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
