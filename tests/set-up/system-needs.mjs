import { existsSync } from 'node:fs';
import { findBrowser } from '../browser/find-browser.mjs';
import { SetUpFailure } from './failure.mjs';
import { onPath, run } from './processes.mjs';

/**
 * Something this machine must have that npm does not bring.
 * @typedef {object} SystemNeed
 * @property {string} wanted in words
 * @property {string[]} debian its packages on Debian
 * @property {string} elsewhere what to install on other systems
 * @property {() => boolean} isThere
 */

/** @type {Record<'compiler' | 'browser' | 'socat', SystemNeed>} */
export const systemNeeds = {
  compiler: {
    wanted: 'a C++ compiler, make and python3, to build better-sqlite3 (no prebuilt binary could be had)',
    debian: ['g++', 'make', 'python3'],
    elsewhere:
      process.platform === 'darwin'
        ? 'the command line developer tools (xcode-select --install)'
        : process.platform === 'win32'
          ? 'Python 3 and the C++ build tools'
          : 'g++, make and python3',
    isThere: () =>
      process.platform === 'win32' ||
      (['c++', 'g++', 'clang++'].some(onPath) && onPath('make') !== null && onPath('python3') !== null),
  },
  browser: {
    wanted: 'Chrome, Chromium or Edge, for the browser tests',
    debian: ['chromium-headless-shell', 'fonts-dejavu-core'],
    elsewhere: 'Chrome, Chromium or Edge (or name its program in CHROME_PATH)',
    isThere: () => findBrowser() !== null,
  },
  socat: {
    wanted: 'socat, which makes the serial device node that the tests read from',
    debian: ['socat'],
    elsewhere: 'socat',
    isThere: () => onPath('socat') !== null,
  },
};

/** What this machine lets set-up do. */
function thisMachine() {
  return {
    isDebian: existsSync('/etc/debian_version') && onPath('apt-get') !== null,
    isRoot: process.getuid?.() === 0,
  };
}

/**
 * Sees to it that this machine has what is needed: on Debian as root by installing it, otherwise by saying so.
 * @param {SystemNeed[]} needs
 * @param {{ isDebian: boolean, isRoot: boolean }} [machine]
 * @throws {SetUpFailure} with the one line that says what to install
 */
export function provide(needs, { isDebian, isRoot } = thisMachine()) {
  const missing = needs.filter((need) => !need.isThere());
  if (missing.length === 0) return;
  const packages = missing.flatMap((need) => need.debian);
  const wanted = missing.map((need) => need.wanted).join('; ');
  if (!isDebian)
    throw new SetUpFailure(
      `Missing: ${wanted}. Install ${missing.map((need) => need.elsewhere).join(' and ')}.`,
    );
  if (!isRoot)
    throw new SetUpFailure(`Missing: ${wanted}. Install with: sudo apt-get install -y ${packages.join(' ')}`);

  console.log(`set-up: installing with apt-get: ${packages.join(' ')} (${wanted})`);
  const env = { DEBIAN_FRONTEND: 'noninteractive' };
  const outputs = [
    run('apt-get', ['update', '-qq'], { env }),
    run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], { env }),
  ].map((result) => result.output);
  if (missing.every((need) => need.isThere())) return;
  console.error(outputs.join('').trim().split('\n').slice(-10).join('\n'));
  throw new SetUpFailure(`apt-get did not bring it. Still missing: ${wanted}.`);
}
