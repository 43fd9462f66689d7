import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { violationsOn } from './accessibility.js';
import {
  type Dashboard,
  keepScreenshot,
  launchBrowser,
  openPage,
  startDashboard,
  temporaryFolder,
} from './dashboard-in-browser.js';

const folder = temporaryFolder();
let dashboard: Dashboard;
let browser: Browser;

beforeAll(async () => {
  dashboard = await startDashboard(join(folder.path, 'logbook.sqlite'));
  browser = await launchBrowser();
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await dashboard?.stop();
  folder.remove();
});

describe('a first sitting, on the practice rig', () => {
  it('goes from an empty logbook to a recording that is stopped with a key and discarded with a reason', async () => {
    const { page, complaints } = await openPage(browser, 'desktop', 'light');
    await page.goto(`${dashboard.address}bench`);
    await page.getByLabel('Connected to').selectOption('');
    await page.getByLabel('It plays').selectOption('low-drag-seal');
    await page.getByLabel('Shock').fill('front left');
    await page.getByLabel('Name of the build').fill('as it came');
    await page.getByRole('button', { name: 'Start recording' }).click();

    const stop = page.getByRole('button', { name: 'Stop', exact: true });
    await stop.waitFor();
    await page.getByRole('heading', { name: 'Recording “as it came”' }).waitFor();
    await page.waitForFunction(() =>
      /^[−\d.]+ mm$/.test(document.querySelectorAll('.live-trace output')[1]!.textContent!),
    );
    await page.waitForFunction(() => Number(document.querySelector('progress')?.value) > 3);
    for (const inked of await inkedPixels(page)) expect(inked).toBeGreaterThan(1000);
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'bench-recording');

    await page.keyboard.press('Escape');
    await page.getByText('stopped before the procedure had ended').waitFor();
    await page.getByRole('button', { name: 'Keep it and go on' }).waitFor();
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'bench-outcome');

    await page.getByText('Discard it').click();
    await page.getByLabel('Why').fill('mount was loose');
    await page.getByRole('button', { name: 'Discard with this reason' }).click();
    await page.getByRole('heading', { name: 'What is on the rig now?' }).waitFor();

    await page.getByRole('link', { name: 'Builds' }).click();
    await page.getByText('one recording').click();
    await page.getByText('discarded: mount was loose').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });
});

/** Opaque pixels on each canvas: axes alone have a few hundred. */
function inkedPixels(page: Page): Promise<number[]> {
  return page.locator('canvas').evaluateAll((canvases) =>
    (canvases as HTMLCanvasElement[]).map((canvas) => {
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      return data.filter((value, i) => i % 4 === 3 && value > 200).length;
    }),
  );
}
