import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import {
  type Dashboard,
  leaveBrowser,
  sharedBrowser,
  startDashboard,
  temporaryFolder,
} from './dashboard-in-browser.js';

/** A dashboard on a logbook of its own with a browser to look at it, there while a file's tests run. */
export interface BrowsedDashboard {
  readonly logbook: string;
  readonly address: string;
  readonly browser: Browser;
}

/** @param prepare fills the logbook before the dashboard starts */
export function browsedDashboard(
  prepare: (logbook: string) => void | Promise<void> = () => {},
): BrowsedDashboard {
  const folder = temporaryFolder();
  const logbook = join(folder.path, 'logbook.sqlite');
  let dashboard: Dashboard | undefined;
  let browser: Browser | undefined;
  beforeAll(async () => {
    await prepare(logbook);
    [dashboard, browser] = await Promise.all([startDashboard(logbook), sharedBrowser()]);
  }, 180_000);
  afterAll(async () => {
    await leaveBrowser(browser);
    await dashboard?.stop();
    folder.remove();
  });
  return {
    logbook,
    get address() {
      return dashboard!.address;
    },
    get browser() {
      return browser!;
    },
  };
}
