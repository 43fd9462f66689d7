import { exitStatus } from './failure.js';

/**
 * Turns the first Ctrl-C, a polite kill, or the terminal's closing into an abort, so that a drive is stopped and a file
 * closed; the second one ends the program at once.
 */
export function interruption(): AbortSignal {
  const controller = new AbortController();
  const interrupt = () => {
    if (controller.signal.aborted) process.exit(exitStatus.interrupted);
    controller.abort();
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, interrupt);
  return controller.signal;
}

/** Resolves when the signal aborts. */
export function aborted(signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener('abort', () => resolve(), { once: true });
  });
}
