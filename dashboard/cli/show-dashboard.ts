import type { Logbook } from '../../daq/index.js';
import { aborted } from './interruption.js';
import { say } from './terminal.js';
import { version } from './version.js';

export interface DashboardOptions {
  /** The usual one, or any free one, where it is left out. */
  readonly port?: number | undefined;
  /** Opens the browser as well; the address is printed in any case. */
  readonly open: boolean;
}

/** Serves the dashboard on a logbook until the signal, then closes it in order. The caller closes the logbook. */
export async function showDashboard(
  logbook: Logbook,
  options: DashboardOptions,
  signal: AbortSignal,
): Promise<void> {
  const { createServer, listen } = await import('../server/index.js');
  const server = createServer({ logbook, version: version() });
  try {
    const address = await listen(server, options.port);
    say(`The dashboard is at ${address} for this machine only. Ctrl-C stops it.`);
    if (options.open) await openBrowser(address);
    await aborted(signal);
  } finally {
    await server.close();
  }
}

/** A machine without a browser still has the address. */
async function openBrowser(address: string): Promise<void> {
  const { default: open } = await import('open');
  try {
    const opener = await open(address);
    opener.on('error', () => {});
  } catch {
    // The address has been printed.
  }
}
