import { CommandFailure, exitStatus } from './failure.js';

/** What standard error gets and how the process ends. */
export interface FailureReport {
  readonly status: number;
  readonly line: string;
}

/** What the operating system refuses, where a person can do something about it. */
const systemWords: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'this user may not open it',
  EPERM: 'this user may not do that',
  EISDIR: 'it is a folder; wanted a file',
  ENOTDIR: 'part of the path is not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
  EADDRINUSE: 'the address is taken; give another port',
};

/**
 * Turns whatever a command threw into one line and an exit status; never a stack trace.
 * Coded errors of the other rooms are known by their shape, so that help does not load those rooms.
 * @param error a refusal of the command line, a coded error of any room, or a fault of this program
 */
export function reportOf(error: unknown): FailureReport {
  if (error instanceof CommandFailure) return { status: error.status, line: oneLine(error.message) };
  if (!(error instanceof Error)) return fault(String(error));
  const { code, path } = error as NodeJS.ErrnoException;
  if (typeof code !== 'string') return fault(error.message);
  if ('isRigFailure' in error)
    return {
      status: error.isRigFailure === true ? exitStatus.rigFailed : exitStatus.badInput,
      line: oneLine(error.message),
    };
  const words = systemWords[code];
  return words === undefined
    ? fault(error.message)
    : { status: exitStatus.badInput, line: `${path ? `${path}: ` : ''}${words}` };
}

function fault(message: string): FailureReport {
  return {
    status: exitStatus.fault,
    line: `This is a fault in dashpot-bench: ${oneLine(message)} (--debug shows where)`,
  };
}

/** One line of text, whatever the message held. */
function oneLine(text: string): string {
  return printable(text.replace(/\s*\n\s*/g, ' ')).trim();
}

/** Text with the control characters of a hostile file name made visible, so that none reaches a terminal. */
export function printable(text: string): string {
  return text.replace(
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not reach a terminal
    /[\u0000-\u001f\u007f-\u009f]/g,
    (c) => `\\x${c.charCodeAt(0).toString(16).padStart(2, '0')}`,
  );
}
