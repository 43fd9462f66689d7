import { spawn } from 'node:child_process';
import { cliPath } from '../dashboard/run-cli.js';

/** The built command line on a terminal of its own, with somebody at the keyboard. */
export interface TypedCli {
  /** Waits until the terminal shows something that was not there when last looked. */
  until(shown: RegExp): Promise<RegExpExecArray>;
  type(keys: string): void;
  /** All that was shown, as one line, once the command has ended. */
  readonly ended: Promise<string>;
}

/** Runs a command on a pseudo-terminal that socat makes, so that it asks and listens as for a person. */
export function typeCli(args: readonly string[]): TypedCli {
  const typed = [process.execPath, cliPath, ...args].map((word) => `'${word}'`).join(' ');
  // The words go through the environment, since socat has quoting rules of its own.
  const child = spawn('socat', ['STDIO', 'SYSTEM:eval exec "$TYPED",pty,ctty,setsid,stderr,echo=0'], {
    env: { ...process.env, TYPED: typed, NO_COLOR: '1' },
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  let shown = '';
  let seen = 0;
  let look = () => {};
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    // Lines end where the terminal's width wants it; here they are one.
    shown = (shown + text).replace(/\s+/g, ' ');
    look();
  });
  const ended = new Promise<string>((resolve, reject) => {
    child.on('error', (error) => reject(new Error(`socat did not start (${error.message})`)));
    child.on('close', () => resolve(shown));
  });
  return {
    until: (pattern) =>
      new Promise((resolve, reject) => {
        look = () => {
          const found = pattern.exec(shown.slice(seen));
          if (!found) return;
          seen += found.index + found[0].length;
          look = () => {};
          resolve(found);
        };
        void ended.then(() => reject(new Error(`ended without ${pattern}:\n${shown}`)), reject);
        look();
      }),
    type: (keys) => void child.stdin.write(keys),
    ended,
  };
}
