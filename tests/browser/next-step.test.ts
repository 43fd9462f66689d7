import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { openLogbook } from '../../daq/index.js';
import type { CornerBody, HolesBody, MatchBody, OilBody, RemountsBody } from '../../dashboard/server/api.js';
import {
  cornerSpringsSentences,
  drillingCaution,
  drillRows,
  holeSentences,
  judgedRows,
  matchSentences,
  moreRemountsSentences,
  oilSentences,
} from '../../dashboard/wording/index.js';
import { enterSlowStrokes } from '../dashboard/slow-recording.js';
import { expectAccessible, violationsOn } from './accessibility.js';
import { browsedDashboard } from './browsed-dashboard.js';
import { openPage, type Width } from './dashboard-in-browser.js';
import { recordTwoBuilds } from './recorded-logbook.js';

const dashboard = browsedDashboard(async (logbook) => {
  await recordTwoBuilds(logbook, [
    { name: 'Stock piston', plays: 'stock-piston', change: '' },
    { name: 'Drilled piston', plays: 'drilled-piston', change: 'holes drilled 1.5 to 1.6 mm' },
  ]);
  const slow = openLogbook(logbook);
  enterSlowStrokes(slow, slow.listBuilds()[0]!.id, 'spring-pull');
  const stop = { at_m: 21.8e-3, stiffness_N_per_m: 120e3 };
  enterSlowStrokes(slow, slow.listBuilds()[0]!.id, 'travel-sweep', { rate_N_per_m: 40 }, stop);
  slow.close();
});

/** The place "Next step" with a question about the stock piston and the drilled one as its target. */
async function ask(question: string, width: Width = 'desktop') {
  const { page, complaints } = await openPage(dashboard.browser, width, 'light');
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

    const grams = { force: 'gf', length: 'mm' } as const;
    await page.getByLabel('Units').selectOption('gf-mm');
    await expect.poll(() => page.locator('.ytitle').textContent()).toBe('Damping, gf');
    const wide = await told<MatchBody>('api/match?have=1&target=2&percent=60');
    expect(await rows.first().textContent()).toContain(judgedRows(wide.answer, grams)[0]!.target);
    expect(judgedRows(wide.answer, grams)[0]!.target).not.toBe(judgedRows(wide.answer)[0]!.target);
    // The browser keeps the choice for the tests that follow.
    await page.getByLabel('Units').selectOption('N-mm');
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

/** What a person in inches sees of the same answers. */
const shownIn = {
  desktop: {
    choice: 'N-mm',
    units: { force: 'N', length: 'mm' },
    rate: /^The spring has 0\.28\d* N\/mm/,
    travel: /^The shock has 17\.8/,
    spacer: /^With 3 mm under/,
    axis: 'Position, mm',
  },
  phone: {
    choice: 'lbf-in',
    units: { force: 'lbf', length: 'in' },
    rate: /^The spring has 1\.6\d* lbf\/in/,
    travel: /^The shock has 0\.70\d* /,
    spacer: /^With 0\.118 in under/,
    axis: 'Position, in',
  },
} as const;

describe.each(['desktop', 'phone'] as const)('springs, travel and remounts on a %s', (width) => {
  const { choice, units, rate, travel, spacer, axis } = shownIn[width];

  it('go from the pull to the corner on another spring, to the travel and to the remounts, all in the address', async () => {
    const { page, complaints } = await ask('spring', width);
    const heading = () => page.locator('h1').textContent();
    const fill = async (label: string, text: string) => {
      await page.getByLabel(label, { exact: true }).fill(text);
      await page.keyboard.press('Tab');
    };
    await drawn(page);
    await page.getByLabel('Units').selectOption(choice);
    await expect.poll(heading).toMatch(rate);
    await expect.poll(() => page.locator('.xtitle').textContent()).toContain(axis);
    expect(await page.locator('.caution').textContent()).toContain('eye protection');
    await page.getByLabel('Rates are typed in').selectOption('lbf/in');
    await fill('Rate on its label, lbf/in', '1,1');
    await page.getByText('It differs from its label of 1.1 lbf/in').waitFor();
    await expectAccessible(page, `next-spring-${width}`);

    await page.getByText('How does a corner ride and land on it?').click();
    await fill('Mass that this corner carries, g', '500');
    await page.getByText(/^It rides at/).waitFor();
    await fill('Rate of the proposed spring, N/mm', '0,4');
    await page.getByText(/^The proposed spring makes it ride/).waitFor();
    expect(await page.locator('.js-plotly-plot').count()).toBe(2);
    const { search } = new URL(page.url());
    expect(search).toContain('proposed_rate=0%2C4');
    const query = 'have=1&mass_g=500&pull=7&proposed_rate=0.4&travel_mm=25&motion_ratio=1&drop_mm=100';
    const { answer } = await told<CornerBody>(`api/corner?${query}`);
    expect(await heading()).toBe(cornerSpringsSentences(answer, units)[0]);
    await expectAccessible(page, `next-corner-${width}`);
    // A bookmark brings it all back.
    await page.reload();
    await expect.poll(heading).toBe(cornerSpringsSentences(answer, units)[0]);

    await page.getByRole('link', { name: 'How much travel is there?', exact: true }).click();
    await page.getByText(travel).waitFor();
    await drawn(page);
    await fill('Compression where the vehicle stands, mm', '8');
    await fill('Spacers under the piston, mm', '30');
    await page.getByText(/Found 30\.00 mm of spacers/).waitFor();
    await fill('Spacers under the piston, mm', '3');
    await page.getByText(spacer).waitFor();
    await drawn(page);
    await expectAccessible(page, `next-travel-${width}`);

    await page.getByRole('link', { name: 'How many more remounts?' }).click();
    await fill('Difference that matters, N', '0.01');
    const remounts = await told<RemountsBody>('api/more-remounts?have=1&difference_N=0.01');
    await page.getByText(moreRemountsSentences(remounts.answer, units)[0]!).waitFor();
    await drawn(page);
    await expectAccessible(page, `next-remounts-${width}`);
    await page.getByLabel('Units').selectOption('N-mm');
    // The browser itself tells of the answer that was refused, and of nothing else.
    expect(complaints).toEqual([expect.stringContaining('422')]);
    await page.close();
  });
});

describe('a field', () => {
  it('keeps what is being typed when an answer arrives meanwhile', async () => {
    const { page } = await openPage(dashboard.browser, 'desktop', 'light');
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
