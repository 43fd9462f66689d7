/* `npm run openapi`: writes the description of the server's routes to standard output. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const built = new URL('../../../dist/', import.meta.url);
const { openLogbook } = await import(new URL('daq/index.js', built).href);
const { createServer } = await import(new URL('dashboard/server/index.js', built).href);
const { version } = await import(new URL('dashboard/cli/version.js', built).href);

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-openapi-'));
const logbook = openLogbook(join(folder, 'logbook.sqlite'));
const server = createServer({ logbook, version: version(), pageFolder: false });
try {
  const { body } = await server.inject({ url: '/api/openapi.json', headers: { host: '127.0.0.1' } });
  process.stdout.write(`${JSON.stringify(JSON.parse(body), null, 2)}\n`);
} finally {
  await server.close();
  logbook.close();
  rmSync(folder, { recursive: true });
}
