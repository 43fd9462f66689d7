/** Exit statuses; every command's help states them. */
export const exitStatus = { done: 0, answerIsNo: 1, badInput: 2, rigFailed: 3, fault: 70 } as const;

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
