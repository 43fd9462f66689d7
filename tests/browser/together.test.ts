import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CompareBody } from '../../dashboard/server/api.js';
import { differenceRows, differenceSentence, plusMinus } from '../../dashboard/wording/index.js';
import { runCli } from '../dashboard/run-cli.js';
import {
  type Dashboard,
  launchBrowser,
  openPage,
  renewReadmePicture,
  startDashboard,
  temporaryFolder,
} from './dashboard-in-browser.js';
import { recordTwoBuilds } from './recorded-logbook.js';

const folder = temporaryFolder();
const logbook = join(folder.path, 'logbook.sqlite');
let dashboard: Dashboard;
let browser: Browser;
/** The overlay as it opens, for the tests that only look at it. */
let page: Page;

beforeAll(async () => {
  await recordTwoBuilds(logbook);
  [dashboard, browser] = await Promise.all([startDashboard(logbook), launchBrowser()]);
  ({ page } = await openTogether());
  await renewReadmePicture(page, 'together', 1225);
}, 180_000);

afterAll(async () => {
  await browser?.close();
  await dashboard?.stop();
  folder.remove();
});

/** The overlay, once its pictures are drawn. */
async function openTogether(query = '') {
  const watched = await openPage(browser, 'desktop', 'light');
  await watched.page.goto(`${dashboard.address}together${query}`);
  await drawn(watched.page);
  return watched;
}

async function drawn(page: Page): Promise<void> {
  await page.locator('.differences').first().waitFor();
  await page.waitForFunction(() => document.querySelectorAll('.js-plotly-plot .main-svg').length >= 3);
}

const cells = (page: Page) =>
  page
    .locator('.differences tbody tr')
    .evaluateAll((rows) =>
      rows.map((row) =>
        [...row.querySelectorAll('th, td:not(.mark)')].map((cell) =>
          cell.textContent!.trim().replace(/\s+/g, ' '),
        ),
      ),
    );

describe('two builds over each other', () => {
  it('show the very numbers of the server, which are the very numbers of the command', async () => {
    const { comparison } = (await (
      await fetch(`${dashboard.address}api/compare?before=1&after=2`)
    ).json()) as CompareBody;
    expect(await cells(page)).toEqual(
      differenceRows(comparison).map(({ label, unit, before, after, difference, verdict, resolvable }) => [
        `${label}, ${unit}`,
        before,
        after,
        difference,
        verdict,
        resolvable,
      ]),
    );
    expect(await page.locator('h1').textContent()).toBe(
      differenceSentence(comparison.differences[0]!, {
        names: { before: 'Draggy seal', after: 'Low-drag seal' },
        remounts: { before: 3, after: 3 },
      }),
    );
    expect(comparison.differences[0]).toMatchObject({ quantity: 'friction_N', verdict: 'lower' });

    const sides = ['--before', 'build:Draggy seal', '--after', 'build:Low-drag seal'];
    const command = await runCli(['compare', ...sides, '--json', '--logbook', logbook]);
    // The command says more beside: what all comparisons together allow, and how many remounts would do.
    expect(JSON.parse(command.stdout).differences).toMatchObject(comparison.differences);
  });

  it('are both drawn: band, line, measured points behind, and their names at the ends of the lines', async () => {
    const picture = page.locator('.main-picture .js-plotly-plot');
    const names = await picture.locator('.annotation-text').allTextContents();
    expect(names.toSorted()).toEqual(['Draggy seal', 'Low-drag seal']);
    const lines = await picture.locator('.scatterlayer .js-line').evaluateAll((paths) =>
      paths
        .map((path) => getComputedStyle(path))
        .filter((style) => Number.parseFloat(style.strokeWidth) > 1)
        .map((style) => style.stroke),
    );
    expect(new Set(lines).size).toBe(2);
    expect(await picture.locator('.scatterlayer .js-fill').count()).toBe(4);
    expect(await picture.locator('.imagelayer image, .layer-below image').count()).toBe(1);
    const titles = await picture.locator('.xtitle, .ytitle').allTextContents();
    expect(titles).toEqual(['Velocity, mm/s (rebound left, compression right)', 'Drag and damping, N']);
  });

  it('are read at one speed by pointer and by keyboard', async () => {
    const { page } = await openTogether();
    const reading = page.locator('.reading');
    expect(await reading.locator('h3').textContent()).toBe('At 100 mm/s compression');
    const before = await reading.locator('td').allTextContents();

    const plot = (await page.locator('.main-picture .plot').boundingBox())!;
    await page.mouse.move(plot.x + 100, plot.y + plot.height / 2);
    await expect.poll(() => reading.locator('h3').textContent()).toMatch(/rebound$/);
    expect(await reading.locator('td').allTextContents()).not.toEqual(before);

    await reading.locator('input').focus();
    const spoken = await reading.locator('h3').textContent();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => reading.locator('h3').textContent()).not.toBe(spoken);
    expect(page.url()).toMatch(/at=-\d+/);
    await page.close();
  });

  it('come back from a bookmark, with the remounts left out and the reference chosen', async () => {
    const { page } = await openTogether();
    await page.locator('.entry-details summary').nth(1).click();
    await page.locator('.entry-details').nth(1).getByText('Remount 2').click();
    await expect
      .poll(() => page.locator('.entry-details summary').nth(1).textContent())
      .toBe('2 of three remounts');
    await page.getByText('Make it the reference').click();
    await expect
      .poll(() => page.locator('.differences h2').textContent())
      .toMatch(/Draggy seal against.*Low-drag seal/);
    const bookmark = page.url();
    expect(new URL(bookmark).search).toBe('?builds=2,1&without=5');
    const shown = await cells(page);
    await page.close();

    const again = await openTogether(new URL(bookmark).search);
    expect(await cells(again.page)).toEqual(shown);
    await again.page.close();
  });

  it('let their pictures be saved as they look', async () => {
    for (const [format, start] of [
      ['PNG', '\x89PNG'],
      ['SVG', '<svg'],
    ] as const) {
      const saved = page.waitForEvent('download');
      await page.getByRole('button', { name: `Save “Force against velocity” as ${format}` }).click();
      const download = await saved;
      expect(download.suggestedFilename()).toBe(`force-against-velocity.${format.toLowerCase()}`);
      const chunks = await (await download.createReadStream()).toArray();
      expect(
        Buffer.concat(chunks as Buffer[])
          .toString('latin1')
          .slice(0, start.length),
      ).toBe(start);
    }
  });

  it('offer no way to send a chart anywhere', async () => {
    expect(await page.locator('.modebar, [data-attr="sendDataToCloud"], a[href^="http"]').count()).toBe(0);
  });
});

describe('one build alone', () => {
  it('is said in a sentence with its interval', async () => {
    const watched = await openPage(browser, 'desktop', 'light');
    await watched.page.goto(`${dashboard.address}together?builds=2`);
    await watched.page.locator('.main-picture .js-plotly-plot').waitFor();
    const { comparison } = (await (
      await fetch(`${dashboard.address}api/compare?before=2&after=2`)
    ).json()) as CompareBody;
    const value = plusMinus(comparison.differences[0]!.before, 'N').split(' ')[0];
    expect(await watched.page.locator('h1').textContent()).toMatch(
      new RegExp(`^Low-drag seal drags ${value}`),
    );
    await watched.page.close();
  });
});
