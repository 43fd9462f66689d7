import { execFileSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { onPath } from '../set-up/processes.mjs';

const script = fileURLToPath(new URL('../../.ci/run', import.meta.url));
const isDebian = existsSync('/etc/debian_version') && onPath('bash') !== null;

describe.skipIf(!isDebian)('the machine that tests, on Debian', () => {
  let folder: string;

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'firmware-ci-'));
    mkdirSync(join(folder, 'bin'));
    for (const name of ['bash', 'dirname', 'timeout']) symlinkSync(onPath(name)!, join(folder, 'bin', name));
    program('npm', 'echo "npm $*"');
  });

  afterEach(() => rmSync(folder, { recursive: true }));

  function program(name: string, body: string): void {
    const path = join(folder, 'bin', name);
    writeFileSync(path, `#!/bin/sh\n${body}\n`);
    chmodSync(path, 0o755);
  }

  /** What the script prints on a machine that has only the programs above; user 0 is root. */
  function run(user: number): string[] {
    program('id', `echo ${user}`);
    const env = { PATH: join(folder, 'bin') };
    return execFileSync(onPath('bash')!, [script], { encoding: 'utf8', env }).trim().split('\n');
  }

  it('goes straight to the tests where the firmware’s compilers are', () => {
    for (const name of ['avr-g++', 'g++', 'make']) program(name, 'true');
    expect(run(0)).toEqual(['npm test --silent']);
  });

  it('installs the ones that are missing, as root', () => {
    program('g++', 'true');
    const log = join(folder, 'log');
    program('apt-get', `echo "$*" >> ${log}`);
    expect(run(0)).toEqual([
      "ci: installing the firmware's compilers (no avr-g++ make)",
      'npm test --silent',
    ]);
    expect(execFileSync('cat', [log], { encoding: 'utf8' })).toMatch(
      /^update .*\ninstall .*gcc-avr avr-libc g\+\+ make\n$/,
    );
  });

  it('tests without them where they cannot be had, and says so', () => {
    program('apt-get', 'exit 100');
    expect(run(1000)).toEqual([
      expect.stringMatching(/^ci: no avr-g\+\+ g\+\+ make, and not root/),
      'npm test --silent',
    ]);
    expect(run(0)).toEqual([
      expect.stringMatching(/^ci: installing/),
      'ci: apt-get did not bring them: the firmware is tested as it was prebuilt',
      'npm test --silent',
    ]);
  });
});
