import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { findBrowser } from '../browser/find-browser.mjs';
import { count } from '../run.mjs';
import { satisfies } from '../set-up/node-version.mjs';
import { onPath } from '../set-up/processes.mjs';
import { provide, systemNeeds } from '../set-up/system-needs.mjs';

const { engines } = JSON.parse(readFileSync('package.json', 'utf8')) as { engines: { node: string } };

describe('the Node version', () => {
  it.each(['20.19.0', '20.20.2', '22.12.0', '22.99.1', '24.0.0', '30.1.2'])('%s will do', (version) => {
    expect(satisfies(version, engines.node)).toBe(true);
  });

  it.each(['18.20.8', '20.18.3', '21.7.3', '22.11.9', '8.0.0'])('%s will not', (version) => {
    expect(satisfies(version, engines.node)).toBe(false);
  });

  it('is not guessed from a range that is written in another way', () => {
    expect(() => satisfies('20.19.0', '^20.19.0')).toThrow('^20.19.0');
  });
});

describe.skipIf(process.platform === 'win32')('system packages', () => {
  const path = process.env.PATH;
  let folder: string;

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-path-'));
    process.env.PATH = folder;
    vi.spyOn(console, 'log').mockImplementation(() => {});
    vi.spyOn(console, 'error').mockImplementation(() => {});
  });

  afterEach(() => {
    process.env.PATH = path;
    rmSync(folder, { recursive: true });
    vi.restoreAllMocks();
  });

  function program(name: string, script: string): void {
    writeFileSync(join(folder, name), `#!/bin/sh\n${script}\n`);
    chmodSync(join(folder, name), 0o755);
  }

  it('are found on PATH, folders and files that cannot be run left out', () => {
    program('socat', 'true');
    writeFileSync(join(folder, 'make'), '');
    expect(onPath('socat')).toBe(join(folder, 'socat'));
    expect(onPath('make')).toBeNull();
    process.env.PATH = ['', '/nowhere', folder].join(delimiter);
    expect(onPath('socat')).toBe(join(folder, 'socat'));
  });

  it('that are there ask for nothing', () => {
    for (const name of ['socat', 'g++', 'make', 'python3']) program(name, 'true');
    provide([systemNeeds.socat, systemNeeds.compiler], { isDebian: true, isRoot: true });
    expect(console.log).not.toHaveBeenCalled();
  });

  it('are installed on Debian as root, which is said in one line', () => {
    program(
      'apt-get',
      `echo "$@" >> ${folder}/asked\n[ "$1" = update ] || { echo > ${folder}/socat; /bin/chmod +x ${folder}/socat; }`,
    );
    provide([systemNeeds.socat], { isDebian: true, isRoot: true });
    expect(readFileSync(join(folder, 'asked'), 'utf8')).toBe(
      'update -qq\ninstall -y -qq --no-install-recommends socat\n',
    );
    expect(vi.mocked(console.log).mock.calls).toEqual([
      [
        'set-up: installing with apt-get: socat (socat, which makes the serial device node that the tests read from)',
      ],
    ]);
  });

  it('that apt-get does not bring end the set-up, with its words shown', () => {
    program('apt-get', 'echo "E: Unable to locate package socat"; exit 100');
    expect(() => provide([systemNeeds.socat], { isDebian: true, isRoot: true })).toThrow(
      'apt-get did not bring it',
    );
    expect(console.error).toHaveBeenCalledWith(expect.stringContaining('Unable to locate package socat'));
  });

  it('are named with the command that installs them for whoever is not root', () => {
    const install = 'Install with: sudo apt-get install -y g++ make python3 socat';
    const needs = [systemNeeds.compiler, systemNeeds.socat];
    expect(() => provide(needs, { isDebian: true, isRoot: false })).toThrow(install);
  });

  it('are named on other systems', () => {
    expect(() => provide([systemNeeds.socat], { isDebian: false, isRoot: true })).toThrow(
      /^Missing: socat.*Install socat\.$/,
    );
  });
});

describe('the browser', () => {
  const { CHROME_PATH } = process.env;

  afterEach(() => {
    if (CHROME_PATH === undefined) delete process.env.CHROME_PATH;
    else process.env.CHROME_PATH = CHROME_PATH;
  });

  it('is the one that CHROME_PATH names', () => {
    process.env.CHROME_PATH = process.execPath;
    expect(findBrowser()).toBe(process.execPath);
  });

  it('is not silently another one where CHROME_PATH names nothing', () => {
    process.env.CHROME_PATH = '/nowhere/chrome';
    expect(() => findBrowser()).toThrow('CHROME_PATH names /nowhere/chrome');
  });
});

describe('the count at the end', () => {
  const file = (status: string, ...tests: string[]) => ({
    status,
    assertionResults: tests.map((test) => ({ status: test, fullName: `a ${test} test` })),
  });

  it('adds up the files', () => {
    const testResults = [file('passed', 'passed', 'passed', 'skipped'), file('failed', 'passed', 'failed')];
    expect(count(false, { testResults })).toEqual({ passed: 3, failed: 1, skipped: ['a skipped test'] });
    expect(count(true, { testResults: [file('passed', 'passed')] })).toEqual({
      passed: 1,
      failed: 0,
      skipped: [],
    });
  });

  it('counts a file that did not load as one failure', () => {
    expect(count(false, { testResults: [file('failed'), file('passed', 'passed')] }).failed).toBe(1);
  });

  it('is a failure without tests, and where vitest failed for another reason', () => {
    expect(count(true, { testResults: [] }).failed).toBe(1);
    expect(count(true, { testResults: [file('passed', 'skipped')] }).failed).toBe(1);
    expect(count(false, { testResults: [file('passed', 'passed')] }).failed).toBe(1);
  });
});

describe('set-up as a command', () => {
  it('stops an unfit Node with one line', () => {
    const asOldNode =
      "Object.defineProperty(process.versions, 'node', { value: '18.20.8' }); import('./tests/set-up.mjs').then(({ setUp }) => setUp({ forTests: true })).then((ready) => process.exit(ready ? 0 : 1));";
    const result = spawnSync(process.execPath, ['-e', asOldNode], { encoding: 'utf8' });
    expect([result.status, result.stdout]).toEqual([1, '']);
    expect(result.stderr).toBe(`set-up: This is Node 18.20.8; dashpot-bench needs Node ${engines.node}.\n`);
  });

  it('is written for an old Node up to the sentence that says so', () => {
    for (const path of ['tests/set-up.mjs', 'tests/set-up/node-version.mjs'])
      expect(readFileSync(path, 'utf8')).not.toMatch(/^\s*await |\?\?=|\.at\(|structuredClone/m);
    expect(execFileSync('bash', ['-n', '.ci/run'], { encoding: 'utf8' })).toBe('');
  });
});
