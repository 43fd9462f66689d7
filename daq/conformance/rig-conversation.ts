import {
  type DeviceFrame,
  decodeDeviceLine,
  encodeHostLine,
  type HostCommand,
  LineSplitter,
  type RefusalFrame,
  type ReplyFrame,
  type SkippedLine,
} from '../../firmware-protocol/index.js';
import { type HostClock, realHostClock } from '../host-clock.js';
import type { Untagged } from '../link/command-exchange.js';
import { portGone } from '../link/identify-rig.js';
import { openPort, type PortOptions } from '../ports/open-port.js';

/** How long the protocol gives a device for an answer. */
export const ANSWER_WITHIN_MS = 500;

/** A line as it came, whatever became of it. */
export interface HeardLine {
  /** On the host's clock. */
  readonly at_ms: number;
  /** What stood in it, for people. */
  readonly text: string;
  readonly frame: DeviceFrame | SkippedLine;
}

/** A line that was sent. */
export interface SaidLine {
  readonly at_ms: number;
  /** Null where the line could not be read as a command. */
  readonly command: HostCommand | null;
  /** Whether the protocol promises an answer: not to a heartbeat, nor to a question a boot loader may have swallowed. */
  readonly isAnswered: boolean;
}

export type AnswerLine = HeardLine & { readonly frame: ReplyFrame | RefusalFrame };

/** What is said between this host and a device, all of it kept: nothing is repeated, repaired or left out. */
export interface RigConversation {
  readonly heard: readonly HeardLine[];
  readonly said: readonly SaidLine[];
  /** Sends a command and goes on. @returns its tag */
  tell(command: Untagged, isAnswered?: boolean): number;
  /** Sends bytes as they are: `answered` lines among them want a refusal. */
  tellText(text: string, answered: number): void;
  /** Sends a command and waits up to half a second for its answer. */
  ask(command: Untagged): Promise<AnswerLine | null>;
  /** Sends bytes as they are and waits as long for whatever answer comes. */
  askText(text: string): Promise<AnswerLine | null>;
  /** Waits for a line heard from now on, or since the line of index `from`. @returns null when none came in time */
  waitFor(isIt: (line: HeardLine) => boolean, within_ms: number, from?: number): Promise<HeardLine | null>;
  /** Lets time pass. @returns what was heard meanwhile */
  listen(time_ms: number): Promise<readonly HeardLine[]>;
  /** Closes the port when the last line has left. */
  close(): Promise<void>;
}

export interface RigConversationOptions extends PortOptions {
  readonly clock?: HostClock;
  /** Ends every wait by its reason. */
  readonly signal?: AbortSignal;
}

/**
 * Opens a port and keeps what is said over it.
 * @throws DaqError 'port-…'; every wait throws 'port-failed' once the port has closed
 */
export async function openConversation(options: RigConversationOptions): Promise<RigConversation> {
  const { clock = realHostClock, signal } = options;
  const port = await openPort(options);
  port.on('error', () => {});
  const heard: HeardLine[] = [];
  const said: SaidLine[] = [];
  const splitter = new LineSplitter();
  const listeners = new Set<() => void>();
  let lastTag = 0;
  let lastWrite: Promise<void> = Promise.resolve();
  const write = (bytes: Uint8Array) => {
    // Whatever is wrong with a write closes the port, which every wait notices.
    if (port.isOpen) lastWrite = new Promise((resolve) => port.write(bytes, () => resolve()));
  };

  port.on('data', (chunk: Buffer) => {
    splitter.push(chunk, (bytes, start, end) =>
      heard.push({
        at_ms: clock.now_ms(),
        text: readable(bytes.subarray(start, end)),
        frame: decodeDeviceLine(bytes, start, end),
      }),
    );
    for (const look of listeners) look();
  });

  function tell(command: Untagged, isAnswered = command.type !== 'beat'): number {
    lastTag = (lastTag % 255) + 1;
    const tagged = { ...command, tag: lastTag } as HostCommand;
    said.push({ at_ms: clock.now_ms(), command: tagged, isAnswered });
    write(encodeHostLine(tagged));
    return lastTag;
  }

  function tellText(text: string, answered: number): void {
    for (let i = 0; i < answered; i++) said.push({ at_ms: clock.now_ms(), command: null, isAnswered: true });
    write(Buffer.from(text, 'latin1'));
  }

  function waitFor(isIt: (line: HeardLine) => boolean, within_ms: number, from = heard.length) {
    return new Promise<HeardLine | null>((resolve, reject) => {
      let next = from;
      const look = () => {
        while (next < heard.length) {
          const line = heard[next++]!;
          if (isIt(line)) return end(() => resolve(line));
        }
      };
      const closed = () => end(() => reject(portGone(port.path)));
      const aborted = () => end(() => reject(signal!.reason));
      const cancel = clock.after(within_ms, () => end(() => resolve(null)));
      function end(settle: () => void) {
        cancel();
        listeners.delete(look);
        port.off('close', closed);
        signal?.removeEventListener('abort', aborted);
        settle();
      }
      listeners.add(look);
      port.once('close', closed);
      signal?.addEventListener('abort', aborted);
      if (signal?.aborted) aborted();
      else if (!port.isOpen) closed();
      else look();
    });
  }

  return {
    heard,
    said,
    tell,
    tellText,
    waitFor,
    async ask(command) {
      const from = heard.length;
      const tag = tell(command);
      const isAnswer = ({ frame }: HeardLine) => isAnswerFrame(frame) && frame.tag === tag;
      return (await waitFor(isAnswer, ANSWER_WITHIN_MS, from)) as AnswerLine | null;
    },
    async askText(text) {
      const from = heard.length;
      tellText(text, 1);
      return (await waitFor(
        ({ frame }) => isAnswerFrame(frame),
        ANSWER_WITHIN_MS,
        from,
      )) as AnswerLine | null;
    },
    async listen(time_ms) {
      const from = heard.length;
      await waitFor(() => false, time_ms);
      return heard.slice(from);
    },
    async close() {
      // Closing throws away what is still to be written.
      await lastWrite;
      await new Promise<void>((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve()));
    },
  };
}

export function isAnswerFrame(frame: DeviceFrame | SkippedLine): frame is ReplyFrame | RefusalFrame {
  return frame.type === 'reply' || frame.type === 'refusal';
}

/** What was heard, or that nothing was. */
export function textOf(line: HeardLine | null): string {
  return line === null ? `nothing within ${ANSWER_WITHIN_MS} ms` : line.text || 'an empty line';
}

function readable(bytes: Uint8Array): string {
  const text = Array.from(bytes, (byte) => (byte < 0x20 || byte > 0x7e ? '·' : String.fromCharCode(byte)));
  return text.slice(0, bytes.at(-1) === 0x0d ? -1 : undefined).join('');
}
