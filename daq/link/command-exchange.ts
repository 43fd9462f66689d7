import {
  encodeHostLine,
  type HostCommand,
  type RefusalFrame,
  type ReplyFrame,
} from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';
import type { HostClock } from '../host-clock.js';
import type { OpenPort } from '../ports/open-port.js';
import type { FrameIntake } from './frame-intake.js';
import { portGone } from './identify-rig.js';

const ANSWER_WITHIN_MS = 500;
const TRIES = 3;

/** A command before it has its tag. */
export type Untagged = HostCommand extends infer Command
  ? Command extends HostCommand
    ? Omit<Command, 'tag'>
    : never
  : never;

export interface CommandExchange {
  /**
   * Sends a command and waits for what the device says to it, asking again where it says nothing.
   * @throws DaqError 'command-unanswered', 'port-failed'
   */
  ask(command: Untagged): Promise<ReplyFrame | RefusalFrame>;
  /**
   * The same for a command that may become unwanted while it waits for its turn or its answer: then it is not sent
   * again, nor at all.
   * @returns null where it went unanswered and is wanted no more
   */
  askWhile(isWanted: () => boolean, command: Untagged): Promise<ReplyFrame | RefusalFrame | null>;
  /** Sends a command that needs no answer, or whose answer nobody waits for. */
  tell(command: Untagged): void;
}

/**
 * Commands to a device: one at a time, up to 500 ms for an answer, three times. A repeated command has a new tag
 * and is safe to do twice, which the protocol promises of each.
 */
export function commandExchange(port: OpenPort, intake: FrameIntake, clock: HostClock): CommandExchange {
  let lastTag = 0;
  let queue: Promise<unknown> = Promise.resolve();

  const send = (command: Untagged): number => {
    // 0 is what a device answers with when it could not read the tag.
    lastTag = (lastTag % 255) + 1;
    if (port.isOpen) port.write(encodeHostLine({ ...command, tag: lastTag } as HostCommand));
    return lastTag;
  };

  function tryOnce(command: Untagged): Promise<ReplyFrame | RefusalFrame | null> {
    return new Promise((resolve, reject) => {
      if (!port.isOpen) {
        reject(portGone(port.path));
        return;
      }
      const tag = send(command);
      const stopListening = intake.listen((frame) => {
        const isAnswer = frame.type === 'reply' || frame.type === 'refusal';
        if (isAnswer && frame.command === command.type && frame.tag === tag) end(() => resolve(frame));
      });
      const cancel = clock.after(ANSWER_WITHIN_MS, () => end(() => resolve(null)));
      const closed = () => end(() => reject(portGone(port.path)));
      port.once('close', closed);

      function end(settle: () => void): void {
        stopListening();
        cancel();
        port.off('close', closed);
        settle();
      }
    });
  }

  async function askInTurn(
    command: Untagged,
    isWanted: () => boolean,
  ): Promise<ReplyFrame | RefusalFrame | null> {
    for (let attempt = 0; attempt < TRIES; attempt++) {
      if (!isWanted()) return null;
      const answer = await tryOnce(command);
      if (answer) return answer;
    }
    throw new DaqError('command-unanswered', {
      where: port.path,
      found: `no answer to '${command.type}', asked ${TRIES} times`,
      wanted: 'one within half a second',
    });
  }

  function askWhile(isWanted: () => boolean, command: Untagged): Promise<ReplyFrame | RefusalFrame | null> {
    const answer = queue.then(() => askInTurn(command, isWanted));
    queue = answer.catch(() => {});
    return answer;
  }

  return {
    ask: async (command) => (await askWhile(() => true, command))!,
    askWhile,
    tell: (command) => void send(command),
  };
}
