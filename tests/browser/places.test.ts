import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openLogbook } from '../../daq/index.js';
import { violationsOn } from './accessibility.js';
import {
  type Dashboard,
  keepScreenshot,
  leaveBrowser,
  openPage,
  sharedBrowser,
  startDashboard,
  temporaryFolder,
  type WatchedPage,
} from './dashboard-in-browser.js';
import { recordTwoBuilds } from './recorded-logbook.js';

const folder = temporaryFolder();
let recorded: Dashboard;
let empty: Dashboard;
let browser: Browser;

beforeAll(async () => {
  await recordTwoBuilds(join(folder.path, 'recorded.sqlite'));
  openLogbook(join(folder.path, 'empty.sqlite')).close();
  recorded = await startDashboard(join(folder.path, 'recorded.sqlite'));
  empty = await startDashboard(join(folder.path, 'empty.sqlite'));
  browser = await sharedBrowser();
}, 120_000);

afterAll(async () => {
  await leaveBrowser(browser);
  await Promise.all([recorded?.stop(), empty?.stop()]);
  folder.remove();
});

/** When a place has everything on it. */
const settled: Readonly<Record<string, (page: Page) => Promise<unknown>>> = {
  together: async (page) => {
    await page.locator('.main-picture .scatterlayer .js-line').first().waitFor();
    await page.waitForFunction(() => document.querySelectorAll('.js-plotly-plot').length >= 3);
  },
  builds: (page) =>
    page.waitForFunction(() => /\d ± /.test(document.querySelector('.friction')?.textContent ?? '')),
  bench: (page) => page.getByText('Start recording').waitFor(),
  next: (page) => page.locator('.js-plotly-plot .main-svg').first().waitFor(),
};

/** Width moves things and scheme colours them; neither does the other's work, so each of both is looked at once. */
const looks = [
  { width: 'desktop', scheme: 'light' },
  { width: 'phone', scheme: 'dark' },
] as const;

describe.each(['together', 'builds', 'bench', 'next'])('the place %s', (place) => {
  it.each(looks)(
    'is accessible, fits and stays on this machine: $width, $scheme',
    async ({ width, scheme }) => {
      const watched = await openPage(browser, width, scheme);
      const { page } = watched;
      await page.goto(recorded.address + place);
      await settled[place]!(page);
      expect(await violationsOn(page)).toEqual([]);
      expect(
        await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        ),
      ).toBe(0);
      expectLoopbackOnly(watched, recorded.address);
      expect(watched.complaints).toEqual([]);
      await keepScreenshot(page, `${place}-${width}-${scheme}`);
      await page.close();
    },
  );
});

describe.each([
  ['together', 'Nothing recorded yet.'],
  ['builds', 'No builds yet.'],
  ['bench', 'What do you want to know?'],
  ['next', 'Nothing to go towards yet.'],
])('the place %s of an empty logbook', (place, heading) => {
  it('says what to do, accessibly', async () => {
    const { page, complaints } = await openPage(browser, 'phone', 'light');
    await page.goto(empty.address + place);
    await page.getByRole('heading', { name: heading }).waitFor();
    await page.locator('main a.action, main button.action').first().waitFor();
    expect(await violationsOn(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await keepScreenshot(page, `${place}-empty`);
    await page.close();
  });
});

describe('the page', () => {
  it('cannot be made to talk to anything but its own server', async () => {
    const { page } = await openPage(browser, 'desktop', 'light');
    await page.goto(`${recorded.address}builds`);
    const refused = await page.evaluate(async (other) => {
      const violated: string[] = [];
      document.addEventListener('securitypolicyviolation', (event) =>
        violated.push(event.effectiveDirective),
      );
      await fetch(other).catch(() => {});
      const script = document.createElement('script');
      script.textContent = 'globalThis.ranInline = true';
      document.head.append(script);
      const image = document.createElement('img');
      image.src = `${other}x.png`;
      document.body.append(image);
      await new Promise((resolve) => image.addEventListener('error', resolve));
      return { violated: violated.toSorted(), ranInline: 'ranInline' in globalThis };
    }, empty.address);
    expect(refused).toEqual({ violated: ['connect-src', 'img-src', 'script-src-elem'], ranInline: false });
    await page.close();
  });

  it('would not pass the accessibility check with a fault on it', async () => {
    const { page } = await openPage(browser, 'desktop', 'light');
    await page.goto(`${recorded.address}bench`);
    await settled.bench!(page);
    await page.evaluate(() => {
      document
        .querySelector('main')!
        .append(Object.assign(document.createElement('input'), { type: 'text' }));
      document.querySelector('h1')!.style.color = '#bbbbbb';
    });
    const rules = (await violationsOn(page)).map((line) => line.split(':')[0]);
    expect(rules.toSorted()).toEqual(['color-contrast', 'label']);
    await page.close();
  });

  it('fetches the chart library only where there is a picture', async () => {
    const { page, requests } = await openPage(browser, 'desktop', 'light');
    await page.goto(`${recorded.address}builds`);
    await settled.builds!(page);
    expect(requests.filter((url) => url.includes('plotly'))).toEqual([]);
    await page.getByRole('link', { name: 'See it over Draggy seal' }).click();
    await settled.together!(page);
    expect(requests.filter((url) => url.includes('plotly'))).toHaveLength(1);
    expect(new URL(page.url()).pathname + new URL(page.url()).search).toBe('/together?builds=1,2');
    await page.goBack();
    await page.getByRole('heading', { name: 'Two builds of one shock' }).waitFor();
    await page.close();
  });

  it('keeps its hashed files for ever and asks for itself every time', async () => {
    const page = await fetch(recorded.address);
    expect(page.headers.get('cache-control')).toBe('no-cache');
    const [script] = /assets\/[^"]+\.js/.exec(await page.text())!;
    const file = await fetch(recorded.address + script);
    expect(file.headers.get('cache-control')).toBe('public, max-age=31536000, immutable');
    for (const path of ['..%2fserver%2findex.js', 'assets/..%2f..%2fserver/index.js', '.env'])
      expect((await fetch(recorded.address + path)).status).toBe(404);
  });

  it('goes through all places with the keyboard alone', async () => {
    const { page } = await openPage(browser, 'desktop', 'light');
    await page.goto(`${recorded.address}together`);
    await settled.together!(page);
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement!.textContent)).toBe('Skip to the content');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'What do you want to know?' }).waitFor();
    expect(await page.evaluate(() => getComputedStyle(document.activeElement!).outlineStyle)).toBe('solid');
    await page.close();
  });
});

function expectLoopbackOnly({ requests }: WatchedPage, address: string): void {
  expect(requests.length).toBeGreaterThan(0);
  expect(requests.filter((url) => !url.startsWith(address) && !/^(data|blob):/.test(url))).toEqual([]);
}
