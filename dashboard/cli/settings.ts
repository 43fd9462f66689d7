import type { Command } from 'commander';

/** Options that every command has. */
export interface GlobalOptions {
  readonly logbook: string;
  readonly debug?: boolean;
}

/** A command's own options together with the global ones. */
export function settingsOf<Own extends object>(command: Command): Own & GlobalOptions {
  return command.optsWithGlobals<Own & GlobalOptions>();
}
