import type { ChannelKind, EventFrame, EventName, SampleFrame } from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';
import { type HostClock, realHostClock } from '../host-clock.js';
import { openPort, type PortOptions } from '../ports/open-port.js';
import { commandExchange } from './command-exchange.js';
import { type DriveHolder, driveControl } from './drive-control.js';
import { expectDone } from './expect-done.js';
import { findBaudRate } from './find-baud-rate.js';
import { frameIntake } from './frame-intake.js';
import { identifyRig, portGone } from './identify-rig.js';
import type { LinkStatistics } from './link-statistics.js';
import type { RigIdentity } from './rig-identity.js';
import { silenceWatch } from './silence-watch.js';

export interface RigLinkOptions extends PortOptions {
  /** Drives time-outs and heartbeats; the wall's unless the rig is played in simulated time. */
  readonly clock?: HostClock;
  /** Told before each baud rate is tried, where none was given. */
  readonly onBaudRate?: (baudRate: number) => void;
}

/** Who wants to know what happens on a link. Called in the order in which lines came. */
export interface LinkListener {
  sample?(frame: SampleFrame): void;
  event?(frame: EventFrame): void;
  /** The run is over: silence, a restart of the device, a port that closed, a drive nobody holds. At most once a run. */
  failure?(error: DaqError): void;
}

/** An identified rig. Speeds are of the crank. Every method may throw DaqError 'command-unanswered', 'command-refused', 'port-failed'. */
export interface RigLink {
  readonly path: string;
  readonly clock: HostClock;
  /** Null where the line has none to speak of. */
  readonly baudRate: number | null;
  /** As last told; the rates change with `setRate`. */
  identity(): RigIdentity;
  /** @returns a function that ends the listening */
  listen(listener: LinkListener): () => void;
  /** Samples flow from here, and statistics count from here. */
  startSampling(): Promise<void>;
  /** Samples end. */
  stopSampling(): Promise<LinkStatistics>;
  /** Statistics of the run so far. */
  statistics(): LinkStatistics;
  /** Asks for a conversion rate, not while sampling; the rig takes the nearest it has, and the identity tells which. */
  setRate(kind: ChannelKind, rate_Hz: number): Promise<void>;
  /** Marks a moment: an event of the same name follows with the device's time. */
  tare(): Promise<void>;
  /**
   * Starts the drive, softly, or changes its speed.
   * @param isHeld asked before every heartbeat: once it says false the drive is halted, and the run fails as
   *   'drive-abandoned'. The process itself holds the drive where it is left out.
   * @throws also 'no-drive', 'speed-out-of-range', 'drive-abandoned'
   */
  setDriveSpeed(speed_rev_per_s: number, isHeld?: DriveHolder): Promise<void>;
  haltDrive(): Promise<void>;
  /** The drive was started and neither halted nor stopped by the rig. */
  isDriving(): boolean;
  /** Halts the drive, ends sampling and closes the port, as far as the rig still listens. */
  close(): Promise<void>;
}

/**
 * Opens a port, identifies the rig behind it (within 3 s, or 3 s for each baud rate where the first brings nothing
 * that can be read) and brings it to rest: drive halted, not sampling, whatever a program before this one left running.
 * @throws DaqError of opening ('port-…'), identifying ('rig-…') and of commands ('command-…')
 * @remarks when the host stops reading, bytes pile up in the operating system and then are lost there; the
 *   statistics show them as missing lines
 */
export async function openRigLink(options: RigLinkOptions): Promise<RigLink> {
  const clock = options.clock ?? realHostClock;
  const { path } = options;
  const port = await openPort(options);
  // Failed writes are followed by a close, which is what everybody here listens for.
  port.on('error', () => {});
  const intake = frameIntake(port);
  const closePort = () =>
    new Promise<void>((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve()));
  try {
    const found = await findBaudRate(port, options.baudRate, options.onBaudRate, () =>
      identifyRig(port, intake, clock),
    );
    let { identity } = found;
    const exchange = commandExchange(port, intake, clock);
    const drive = driveControl(
      exchange,
      clock,
      () => identity,
      path,
      (error) => fail(error),
    );
    const listeners = new Set<LinkListener>();
    let sampling = false;
    let dropped: number | null = null;

    const fail = (error: DaqError) => {
      if (!sampling) return;
      sampling = false;
      watch.end();
      drive.letGo();
      for (const { failure } of listeners) failure?.(error);
    };
    const watch = silenceWatch(clock, (silence_ms) => fail(wentSilent(path, silence_ms)));
    port.once('close', () => {
      drive.letGo();
      fail(portGone(path));
    });
    intake.listen((frame) => {
      watch.heard();
      if (frame.type === 'sample') for (const listener of listeners) listener.sample?.(frame);
      if (frame.type === 'event') {
        for (const listener of listeners) listener.event?.(frame);
        if (DRIVE_STOPPERS.has(frame.event)) drive.letGo();
        if (frame.event === 'boot') fail(restarted(path));
      }
      // Nobody asks for an identity while sampling, so one that comes is a banner.
      if (frame.type === 'identity') fail(restarted(path));
    });

    const stop = async () => {
      const answer = await exchange.ask({ type: 'stop' });
      expectDone(answer, path, 'not-running');
      return answer.type === 'reply' && answer.fields[0] ? Number(answer.fields[0]) : null;
    };
    await stop();
    if (identity.drive) await drive.halt();

    return {
      path,
      clock,
      baudRate: found.baudRate,
      identity: () => identity,
      listen(listener) {
        listeners.add(listener);
        return () => listeners.delete(listener);
      },
      async startSampling() {
        intake.beginRun();
        dropped = null;
        // A second 'start' whose first was done but went unanswered is refused as busy.
        expectDone(await exchange.ask({ type: 'start' }), path, 'busy');
        sampling = true;
        watch.begin();
      },
      async stopSampling() {
        sampling = false;
        watch.end();
        dropped = await stop();
        return intake.statistics(dropped);
      },
      statistics: () => intake.statistics(dropped),
      async setRate(kind, rate_Hz) {
        expectDone(await exchange.ask({ type: 'rate', kind, rate_mHz: Math.round(rate_Hz * 1000) }), path);
        identity = await identifyRig(port, intake, clock);
      },
      async tare() {
        expectDone(await exchange.ask({ type: 'tare' }), path);
      },
      setDriveSpeed: drive.setSpeed,
      haltDrive: drive.halt,
      isDriving: drive.isRunning,
      async close() {
        if (port.isOpen) {
          if (drive.isRunning()) await drive.halt().catch(() => {});
          if (sampling) await stop().catch(() => {});
        }
        sampling = false;
        drive.letGo();
        watch.end();
        await closePort();
      },
    };
  } catch (error) {
    await closePort();
    throw error;
  }
}

/** Events after which a device has stopped its drive by itself. */
export const DRIVE_STOPPERS: ReadonlySet<EventName> = new Set([
  'boot',
  'overload',
  'end-switch',
  'operator-stop',
  'lease-lost',
  'sensor-fault',
]);

export function wentSilent(where: string, silence_ms: number): DaqError {
  return new DaqError('rig-silent', {
    where,
    found: `nothing for ${silence_ms / 1000} s while sampling`,
    wanted: 'samples; did the rig lose its power or hang?',
  });
}

/** A rig whose clock began anew: what follows cannot be joined to what came before. */
export function restarted(where: string): DaqError {
  return new DaqError('rig-restarted', {
    where,
    found: 'a rig that restarted while sampling',
    wanted: 'one that runs through; a weak supply or a crash is likely',
  });
}
