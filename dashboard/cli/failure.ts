/** Exit statuses; the first four are in every command's help. */
export const exitStatus = {
  done: 0,
  answerIsNo: 1,
  badInput: 2,
  rigFailed: 3,
  /** This program is at fault (EX_SOFTWARE of BSD's sysexits). */
  fault: 70,
  /** Ended before its end because the person asked for it, as shells count Ctrl-C. */
  interrupted: 130,
} as const;

/** What the person is told in one line; the status says whose turn it is. */
export class CommandFailure extends Error {
  readonly status: 2 | 3;

  constructor(status: 2 | 3, message: string) {
    super(message);
    this.name = 'CommandFailure';
    this.status = status;
  }
}

/** Bad input or usage: nothing was written. `found` and `wanted` make the sentence; `where` is a file, with its line. */
export function badInput(found: string, wanted: string, where?: string): CommandFailure {
  return new CommandFailure(exitStatus.badInput, `${where ? `${where}: ` : ''}${found}; wanted ${wanted}`);
}

/** The rig or a device failed. */
export function rigFailed(message: string): CommandFailure {
  return new CommandFailure(exitStatus.rigFailed, message);
}

/** Why a recording was not analysed that is too long for the machine. */
export function outOfMemory(where: string): string {
  return `${where}: the recording needs more memory than this machine has free; wanted a shorter one`;
}
