import type { SkipReason } from '../../firmware-protocol/index.js';
import { believableTimes } from '../clock/believable-times.js';
import { DaqError } from '../daq-error.js';
import { type HostClock, realHostClock } from '../host-clock.js';
import { openPort, type PortOptions } from '../ports/open-port.js';
import { portGone } from './identify-rig.js';
import { readLines } from './line-source.js';
import { type PlainForm, type PlainLine, readPlainLine } from './plain-line.js';
import type { RigIdentity } from './rig-identity.js';
import { type LinkListener, type RigLink, wentSilent } from './rig-link.js';
import { silenceWatch } from './silence-watch.js';

export interface PlainLinkOptions extends PortOptions {
  readonly form: PlainForm;
  /** What the owner calls the rig; its calibration is kept under this name. */
  readonly rigName: string;
  readonly clock?: HostClock;
}

const LOOK_FOR_MS = 3000;
/** Lines from which a rig is known and its pace is told. */
const LINES_TO_KNOW = 20;

/**
 * Opens a rig that keeps its own firmware and sends plain numbers, by itself, for as long as it has power. It has no
 * drive that could be told anything, and its identity says that its lines are unchecked. A line is read if it has the
 * right number of cells, each a number; one whose time leaps is dropped unless the next line confirms it.
 * @throws DaqError of opening ('port-…'); 'rig-silent', 'rig-foreign' when 20 such lines do not come in 3 s
 */
export async function openPlainLink(options: PlainLinkOptions): Promise<RigLink> {
  const { form, path, rigName, clock = realHostClock } = options;
  const port = await openPort(options);
  port.on('error', () => {});
  const closePort = () =>
    new Promise<void>((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve()));
  const listeners = new Set<LinkListener>();
  let take: (line: PlainLine) => void = () => {};
  let decoded = 0;
  let skipped: Partial<Record<SkipReason, number>> = {};
  let lastSkipped = '';
  let isFirst = true;
  const lines = readLines(port, (bytes) => {
    // Whatever came before the first newline may be half a line.
    if (isFirst) {
      isFirst = false;
      return;
    }
    const text = Buffer.from(bytes).toString('latin1');
    if (text.trim() === '') return;
    const line = readPlainLine(text, form);
    if (line) {
      decoded++;
      take(line);
    } else {
      lastSkipped = text.trim().slice(0, 60);
      skip('malformed');
    }
  });
  function skip(reason: SkipReason): void {
    skipped[reason] = (skipped[reason] ?? 0) + 1;
  }

  let identity: RigIdentity;
  try {
    const times_us = await firstTimes();
    identity = identityOf(form, rigName, times_us);
  } catch (error) {
    await closePort();
    throw error;
  }

  let sampling = false;
  let flooded_atStart = 0;
  let sequence = 0;
  const isBelievable = believableTimes();
  const fail = (error: DaqError) => {
    if (!sampling) return;
    sampling = false;
    watch.end();
    for (const { failure } of listeners) failure?.(error);
  };
  const watch = silenceWatch(clock, (silence_ms) => fail(wentSilent(path, silence_ms)));
  port.once('close', () => fail(portGone(path)));
  take = (line) => {
    watch.heard();
    if (!sampling) return;
    const { deviceTime_us, samples } = line;
    if (!isBelievable(deviceTime_us)) return skip('malformed');
    for (const { kind, counts } of samples) {
      sequence = (sequence + 1) & 0xffff;
      for (const { sample } of listeners) sample?.({ type: 'sample', kind, sequence, deviceTime_us, counts });
    }
  };
  const statistics = () => ({
    linesDecoded: decoded,
    linesMissing: 0,
    linesDuplicated: 0,
    linesSkipped: { ...skipped },
    linesDroppedByDevice: null,
    bytesFlooded: lines.bytesFlooded() - flooded_atStart,
  });
  const cannot = async (): Promise<never> => {
    throw new DaqError('no-drive', {
      where: path,
      found: `rig '${rigName}', which sends plain lines and takes no commands`,
      wanted: 'a rig with the firmware of this program',
    });
  };

  return {
    path,
    clock,
    baudRate: options.baudRate ?? null,
    identity: () => identity,
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async startSampling() {
      decoded = 0;
      skipped = {};
      flooded_atStart = lines.bytesFlooded();
      sampling = true;
      watch.begin();
      if (!port.isOpen) throw portGone(path);
    },
    async stopSampling() {
      sampling = false;
      watch.end();
      return statistics();
    },
    statistics,
    setRate: cannot,
    tare: cannot,
    setDriveSpeed: cannot,
    haltDrive: cannot,
    isDriving: () => false,
    async close() {
      sampling = false;
      watch.end();
      await closePort();
    },
  };

  function firstTimes(): Promise<number[]> {
    return new Promise((resolve, reject) => {
      const times_us: number[] = [];
      const end = (settle: () => void) => {
        cancel();
        port.off('close', closed);
        take = () => {};
        settle();
      };
      const closed = () => end(() => reject(portGone(path)));
      port.once('close', closed);
      const cancel = clock.after(LOOK_FOR_MS, () =>
        end(() => reject(notPlain(path, lines.bytesReceived(), times_us.length, lastSkipped))),
      );
      take = ({ deviceTime_us }) => {
        times_us.push(deviceTime_us);
        if (times_us.length === LINES_TO_KNOW) end(() => resolve(times_us));
      };
    });
  }
}

/** What can be said of a rig that says nothing of itself; its rate is the one it was heard at. */
function identityOf({ cells }: PlainForm, rigName: string, times_us: readonly number[]): RigIdentity {
  const steps = times_us.slice(1).map((time_us, i) => (time_us - times_us[i]!) | 0);
  const median_us = Math.max(1, steps.toSorted((a, b) => a - b)[steps.length >> 1]!);
  const channels = cells.flatMap((cell) =>
    cell.is === 'sample'
      ? {
          kind: cell.kind,
          unit: cell.kind === 'temperature' ? ('mdegC' as const) : ('counts' as const),
          counts_min: -(2 ** 31),
          counts_max: 2 ** 31 - 1,
          rate_mHz: Math.round(1e9 / median_us),
          delay_us: 0,
          kernel: 'unknown' as const,
        }
      : [],
  );
  return { protocolVersion: 0, firmware: 'plain lines', rigName, channels, drive: null, unchecked: true };
}

function notPlain(where: string, bytes: number, lines: number, lastSkipped: string): DaqError {
  const wait = `in ${LOOK_FOR_MS / 1000} s`;
  if (bytes === 0)
    return new DaqError('rig-silent', {
      where,
      found: `nothing ${wait}`,
      wanted: 'a rig that sends by itself; is it powered, and is --baud right?',
    });
  const example = lastSkipped === '' ? '' : `, and such as '${lastSkipped}'`;
  return new DaqError('rig-foreign', {
    where,
    found: `${lines} lines of the form given ${wait}${example}`,
    wanted: `at least ${LINES_TO_KNOW}; is --baud right, and does --plain name every cell and its decimals?`,
  });
}
