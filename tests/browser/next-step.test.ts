import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { HolesBody, MatchBody, OilBody } from '../../dashboard/server/api.js';
import {
  drillingCaution,
  drillRows,
  holeSentences,
  judgedRows,
  matchSentences,
  oilSentences,
} from '../../dashboard/wording/index.js';
import { violationsOn } from './accessibility.js';
import {
  type Dashboard,
  keepScreenshot,
  launchBrowser,
  openPage,
  startDashboard,
  temporaryFolder,
  type Width,
} from './dashboard-in-browser.js';
import { recordTwoBuilds } from './recorded-logbook.js';

const folder = temporaryFolder();
let dashboard: Dashboard;
let browser: Browser;

beforeAll(async () => {
  const logbook = join(folder.path, 'logbook.sqlite');
  await recordTwoBuilds(logbook, [
    { name: 'Stock piston', plays: 'stock-piston', change: '' },
    { name: 'Drilled piston', plays: 'drilled-piston', change: 'holes drilled 1.5 to 1.6 mm' },
  ]);
  [dashboard, browser] = await Promise.all([startDashboard(logbook), launchBrowser()]);
}, 180_000);

afterAll(async () => {
  await browser?.close();
  await dashboard?.stop();
  folder.remove();
});

/** The place "Next step" with a question about the stock piston and the drilled one as its target. */
async function ask(question: string, width: Width = 'desktop') {
  const { page, complaints } = await openPage(browser, width, 'light');
  await page.goto(`${dashboard.address}next?ask=${question}&have=1&target=2`);
  return { page, complaints };
}

const drawn = (page: Page) => page.locator('.js-plotly-plot .main-svg').first().waitFor();
const told = async <Body>(path: string) => (await (await fetch(dashboard.address + path)).json()) as Body;

const piston = {
  'Bore of the body, mm': '12,7',
  'Diameter of the shaft, mm': '3.5',
  'Thickness of the piston, mm': '2.5',
  'Number of holes': '4',
  'Diameter of a hole, mm': '1.5',
  'Oil in it now, cSt at 25 °C': '350',
};
const typedPiston = 'bore_mm=12.7&rod_mm=3.5&thickness_mm=2.5&holes=4&hole_mm=1.5&oil_cSt=350';

/** Fills the fields from first to last with keys alone. */
async function typePiston(page: Page): Promise<void> {
  for (const [label, text] of Object.entries(piston)) {
    await page.getByLabel(label, { exact: true }).focus();
    await page.keyboard.type(text);
    await page.keyboard.press('Tab');
  }
}

async function expectAccessible(page: Page, name: string): Promise<void> {
  expect(await violationsOn(page)).toEqual([]);
  expect(
    await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
  ).toBe(0);
  await keepScreenshot(page, name);
}

describe.each(['desktop', 'phone'] as const)('next step on a %s', (width) => {
  it('says whether a build matches: sentence, picture with the hatched target, verdicts in words', async () => {
    const { page, complaints } = await ask('match', width);
    await drawn(page);
    const { answer } = await told<MatchBody>('api/match?have=1&target=2&percent=5');
    expect(answer.verdict).toBe('outside');
    expect(await page.locator('h1').textContent()).toBe(matchSentences(answer)[0]);
    expect(await page.locator('.verdict-line').textContent()).toBe('outside');
    expect(await page.locator('.js-plotly-plot pattern').count()).toBeGreaterThan(0);
    const rows = page.locator(width === 'phone' ? '.rows li' : '.rows tbody tr');
    expect(await rows.count()).toBe(judgedRows(answer).length);
    expect(await rows.first().textContent()).toContain(judgedRows(answer)[0]!.deviation);
    await expectAccessible(page, `next-match-${width}`);

    await page.getByLabel('Near enough').fill('60');
    await page.keyboard.press('Tab');
    await expect.poll(() => page.locator('.verdict-line').textContent()).toBe('within');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('says which oil', async () => {
    const { page, complaints } = await ask('oil', width);
    await page.getByLabel('Oil in it now').fill('350');
    await page.keyboard.press('Tab');
    const { answer } = await told<OilBody>('api/plan-oil?have=1&target=2&percent=5&oil_cSt=350');
    await page.getByText(oilSentences(answer)[1]!).waitFor();
    await drawn(page);
    await expectAccessible(page, `next-oil-${width}`);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('says which drill, once the piston is typed, with the caution from the start', async () => {
    const { page, complaints } = await ask('drill', width);
    expect(await page.locator('.caution').textContent()).toContain(drillingCaution);
    expect(await page.locator('.caution').textContent()).toContain('cannot be undone');
    expect(await page.locator('.js-plotly-plot').count()).toBe(0);
    await typePiston(page);
    const { answer } = await told<HolesBody>(`api/plan-holes?have=1&target=2&percent=5&${typedPiston}`);
    await drawn(page);
    await expect.poll(() => page.locator('h1').textContent()).toBe(holeSentences(answer)[0]);
    const rows = page.locator(width === 'phone' ? '.rows li' : '.rows tbody tr');
    expect(await rows.count()).toBe(drillRows(answer).length);
    await expectAccessible(page, `next-drill-${width}`);
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('a field', () => {
  it('keeps what is being typed when an answer arrives meanwhile', async () => {
    const { page } = await openPage(browser, 'desktop', 'light');
    let answer = () => {};
    const mayAnswer = new Promise<void>((resolve) => (answer = resolve));
    await page.route('**/api/plan-oil?*', async (route) => {
      await mayAnswer;
      await route.continue();
    });
    await page.goto(`${dashboard.address}next?ask=oil&have=1&target=2`);
    const oil = page.getByLabel('Oil in it now');
    await oil.fill('3');
    answer();
    await drawn(page);
    await page.keyboard.type('50');
    expect(await oil.inputValue()).toBe('350');
    await page.keyboard.press('Tab');
    const { answer: told350 } = await told<OilBody>('api/plan-oil?have=1&target=2&percent=5&oil_cSt=350');
    await page.getByText(oilSentences(told350)[1]!).waitFor();
    await page.close();
  });
});

describe('a field that cannot be', () => {
  it('has what was found and wanted beside it, and no answer stands on it', async () => {
    const { page } = await ask('drill');
    await typePiston(page);
    await drawn(page);
    const shaft = page.getByLabel('Diameter of the shaft, mm', { exact: true });
    await shaft.fill('20');
    await page.keyboard.press('Tab');
    const beside = page.locator('.number-field', { has: shaft }).getByRole('alert');
    await beside.waitFor();
    expect(await beside.textContent()).toMatch(/Found .*20 mm.* Wanted .*12\.7 mm/);
    expect(await shaft.getAttribute('aria-invalid')).toBe('true');
    expect(await page.locator('.js-plotly-plot').count()).toBe(0);
    expect(await violationsOn(page)).toEqual([]);
    await page.close();
  });
});

describe('the pair', () => {
  it('is in the address, and choosing the target as the build swaps the two', async () => {
    const { page } = await ask('match');
    await drawn(page);
    await page.getByLabel('The build as it is').selectOption({ label: 'Drilled piston' });
    await expect.poll(() => page.url()).toMatch(/have=2&target=1$/);
    expect(await page.getByLabel('Its target').inputValue()).toBe('1');
    await page.close();
  });
});
