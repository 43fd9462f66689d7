import { createHash } from 'node:crypto';
import { SerialPort } from 'serialport';
import type { SimulatedRig } from '../../daq/simulated-rig/index.js';
import {
  type DeviceFrame,
  decodeDeviceLine,
  encodeHostLine,
  type HostCommand,
  LineSplitter,
  type SkipReason,
} from '../../firmware-protocol/index.js';

type Untagged<Command> = Command extends HostCommand ? Omit<Command, 'tag'> : never;
type Sample = Extract<DeviceFrame, { type: 'sample' }>;

/** A serial terminal on the simulated rig, through serialport itself; it notes everything that arrives. */
export async function openTerminal(rig: SimulatedRig, baudRate = 250_000) {
  const options = { path: rig.path, baudRate, autoOpen: false, binding: rig.binding };
  const port = new SerialPort(options);
  const splitter = new LineSplitter();
  const digest = createHash('sha256');
  const frames: DeviceFrame[] = [];
  const skipped: SkipReason[] = [];
  const closings: (Error | null)[] = [];
  let tag = 0;
  let missing = 0;
  let last: number | null = null;

  port.on('data', (chunk: Buffer) => {
    digest.update(chunk);
    splitter.push(chunk, (bytes, start, end) => {
      const frame = decodeDeviceLine(bytes, start, end);
      if (frame.type === 'skipped') {
        skipped.push(frame.reason);
        return;
      }
      if (frame.type === 'event' && frame.event === 'boot') last = null;
      if (last !== null) missing += (frame.sequence - last - 1) & 0xffff;
      last = frame.sequence;
      frames.push(frame);
    });
  });
  port.on('close', (error: Error | null) => closings.push(error));
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));

  const terminal = {
    frames,
    skipped,
    closings,
    port,
    /** Lines missing by their numbers. */
    missing: () => missing,
    digest: () => digest.copy().digest('hex'),
    wait: (duration_ms: number) => new Promise<void>((resolve) => rig.clock.after(duration_ms, resolve)),
    send(command: Untagged<HostCommand>) {
      tag = (tag % 255) + 1;
      port.write(encodeHostLine({ ...command, tag } as HostCommand));
    },
    /** Waits while keeping the drive's lease. */
    async beat(duration_ms: number) {
      for (let waited_ms = 0; waited_ms < duration_ms; waited_ms += 250) {
        terminal.send({ type: 'beat' });
        await terminal.wait(250);
      }
    },
    async ask(command: Untagged<HostCommand>): Promise<DeviceFrame> {
      const from = frames.length;
      terminal.send(command);
      for (let tries = 0; tries < 50; tries++) {
        await terminal.wait(10);
        const answer = frames
          .slice(from)
          .find((frame) => (frame.type === 'reply' || frame.type === 'refusal') && frame.tag === tag);
        if (answer) return answer;
      }
      throw new Error(`no answer to ${command.type} within 500 ms`);
    },
    samples: (kind: Sample['kind']) =>
      frames.filter((frame): frame is Sample => frame.type === 'sample' && frame.kind === kind),
    events: () => frames.flatMap((frame) => (frame.type === 'event' ? [frame.event] : [])),
    close: () => new Promise<void>((resolve) => port.close(() => resolve())),
  };
  return terminal;
}
