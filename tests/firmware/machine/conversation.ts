import {
  type DeviceFrame,
  decodeDeviceLine,
  type EventFrame,
  encodeHostLine,
  type HostCommand,
  LineSplitter,
  type RefusalFrame,
  type ReplyFrame,
  type SampleFrame,
  type SkipReason,
} from '../../../firmware-protocol/index.js';
import { type BoardOptions, type SimulatedBoard, simulatedBoard } from './simulated-board.js';

/** A board with a patient listener at the other end: no port, no time-outs, every line kept. */
export interface Conversation {
  readonly board: SimulatedBoard;
  readonly frames: DeviceFrame[];
  readonly skipped: SkipReason[];
  /** Bytes that have come since the last newline. */
  pendingBytes(): number;
  samples(kind: SampleFrame['kind']): SampleFrame[];
  events(): EventFrame[];
  tell(command: HostCommand): void;
  /** Sends text as it is. */
  send(text: string): void;
  /** Sends a command and lets time pass until it is answered. @throws Error without an answer within 0.5 s */
  ask(command: HostCommand): ReplyFrame | RefusalFrame;
  /** Frames that came while time passed. */
  listen(time_s: number): DeviceFrame[];
}

const ASK_STEP_S = 0.5e-3;
const PATIENCE_S = 0.5;

export function conversation(options: BoardOptions): Conversation {
  const splitter = new LineSplitter();
  const frames: DeviceFrame[] = [];
  const skipped: SkipReason[] = [];
  let pending = 0;
  const board = simulatedBoard({
    ...options,
    onByte(byte) {
      options.onByte?.(byte);
      pending = byte === 0x0a ? 0 : pending + 1;
      splitter.push(Uint8Array.of(byte), (bytes, start, end) => {
        const frame = decodeDeviceLine(bytes, start, end);
        if (frame.type === 'skipped') skipped.push(frame.reason);
        else frames.push(frame);
      });
    },
  });

  const tell = (command: HostCommand) => board.receive(encodeHostLine(command));
  return {
    board,
    frames,
    skipped,
    tell,
    pendingBytes: () => pending,
    samples: (kind) =>
      frames.filter((frame): frame is SampleFrame => frame.type === 'sample' && frame.kind === kind),
    events: () => frames.filter((frame): frame is EventFrame => frame.type === 'event'),
    send: (text) => board.receive(Uint8Array.from(text, (c) => c.charCodeAt(0))),
    ask(command) {
      const from = frames.length;
      tell(command);
      for (let waited_s = 0; waited_s < PATIENCE_S; waited_s += ASK_STEP_S) {
        board.runFor(ASK_STEP_S);
        const answer = frames
          .slice(from)
          .find(
            (frame): frame is ReplyFrame | RefusalFrame => frame.type === 'reply' || frame.type === 'refusal',
          );
        if (answer) return answer;
      }
      throw new Error(`no answer to ${command.type}`);
    },
    listen(time_s) {
      const from = frames.length;
      board.runFor(time_s);
      return frames.slice(from);
    },
  };
}
