import type { Logbook } from '../../daq/index.js';
import { badInput } from './failure.js';
import { aborted } from './interruption.js';
import { say } from './terminal.js';
import { version } from './version.js';

export interface DashboardOptions {
  /** The usual one, or any free one, where it is left out. */
  readonly port?: number | undefined;
  /** Opens the browser as well; the address is printed in any case. */
  readonly open: boolean;
  /** Lets browsers of the home network look as well, once they have told the code that is shown here. */
  readonly lan?: boolean | undefined;
}

/** Serves the dashboard on a logbook until the signal, then closes it in order. The caller closes the logbook. */
export async function showDashboard(
  logbook: Logbook,
  options: DashboardOptions,
  signal: AbortSignal,
): Promise<void> {
  const { createServer, listen, NETWORK_CAUTION, ownHomeAddresses } = await import('../server/index.js');
  const addresses = options.lan ? ownHomeAddresses() : [];
  if (options.lan && addresses.length === 0)
    throw badInput('--lan, but this machine is in no home network', 'one, or a start without --lan');
  const showCode = (code: string) =>
    say(`Somebody wants to look: the code is ${code.slice(0, 3)} ${code.slice(3)}, for ten minutes.`);
  const server = createServer({
    logbook,
    version: version(),
    ...(options.lan && { network: { addresses, showCode } }),
  });
  try {
    const address = await listen(server, options.port, options.lan ? 'home-network' : 'this-machine');
    if (options.lan) sayWhereInNetwork(addresses, new URL(address).port, NETWORK_CAUTION);
    else say(`The dashboard is at ${address} for this machine only. Ctrl-C stops it.`);
    if (options.open) await openBrowser(address);
    await aborted(signal);
  } finally {
    await server.close();
  }
}

function sayWhereInNetwork(addresses: readonly string[], port: string, caution: string): void {
  say(`The dashboard is at http://127.0.0.1:${port}/ for this machine. Ctrl-C stops it.`);
  const others = addresses.map((address) => `http://${address}:${port}/`).join(' or ');
  say(`Others in this home network look at ${others} and are asked for a code that is shown here then.`);
  say(`They can look and stop a recording, never start one. ${caution}`);
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
