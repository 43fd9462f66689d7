import { readFileSync } from 'node:fs';

/** The version of the installed package. */
export function version(): string {
  // From dist/dashboard/cli in a built package.
  const packageFile = new URL('../../../package.json', import.meta.url);
  return (JSON.parse(readFileSync(packageFile, 'utf8')) as { version: string }).version;
}
