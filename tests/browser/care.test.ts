import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { CareBody } from '../../dashboard/server/api.js';
import {
  careWords,
  checkRows,
  checkSentence,
  profileSentence,
  versionsSentence,
} from '../../dashboard/wording/index.js';
import { expectAccessible } from './accessibility.js';
import { browsedDashboard } from './browsed-dashboard.js';
import { makeCaredForLogbook } from './cared-for-logbook.js';
import { openPage } from './dashboard-in-browser.js';

const dashboard = browsedDashboard((logbook) => {
  makeCaredForLogbook(logbook);
});

const known = async () => (await (await fetch(`${dashboard.address}api/care?rig=1`)).json()) as CareBody;
const headline = (page: Page) => page.locator('h1').textContent();

describe.each(['desktop', 'phone'] as const)('rig care on a %s', (width) => {
  it('says whether the rig is as it was, what its counts mean, what was in force and what its limits are', async () => {
    const { page, complaints } = await openPage(
      dashboard.browser,
      width,
      width === 'phone' ? 'dark' : 'light',
    );
    const rig = (await known()).rig!;
    await page.goto(`${dashboard.address}care?rig=1`);
    const answer = rig.check!.answer!;
    expect(answer.verdict).toBe('outside');
    await expect.poll(() => headline(page)).toBe(checkSentence(answer));
    const charts = page.locator('svg.care-picture');
    expect(await charts.count()).toBe(2);
    expect(await charts.nth(1).locator('.beyond').count()).toBe(1);
    expect(await charts.nth(1).getAttribute('aria-label')).toContain(checkRows(answer)[1]!.limits);
    await expectAccessible(page, `care-check-${width}`);

    await page.getByRole('link', { name: 'What do its counts mean?' }).click();
    await expect.poll(() => headline(page)).toMatch(/^1000 counts are 45\.\d+ ± 0\.\d+ mN; /);
    expect(await page.locator('.reading').count()).toBe(2 * 3 * 9);
    await page.getByText('never over a foot').waitFor();
    await expectAccessible(page, `care-force-${width}`);
    await page.getByRole('link', { name: 'Lag', exact: true }).click();
    await expect.poll(() => headline(page)).toBe(careWords.lag.unknown);

    await page.getByRole('link', { name: 'What was in force when?' }).click();
    await expect
      .poll(() => headline(page))
      .toBe(versionsSentence(rig.calibrations.map(({ version }) => version)));
    await expectAccessible(page, `care-history-${width}`);

    await page.getByRole('link', { name: 'What are its limits?' }).click();
    await expect.poll(() => headline(page)).toBe(profileSentence(rig.profile!.profile));
    await expectAccessible(page, `care-limits-${width}`);
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe('a procedure', () => {
  it('is led step by step at the practice rig, and entered when the person says so', async () => {
    const { page, complaints } = await openPage(dashboard.browser, 'phone', 'light');
    await page.goto(`${dashboard.address}care?about=profile`);
    await page.getByLabel('Connected to').selectOption({ label: 'Practice rig (simulated)' });
    await page.getByRole('button', { name: 'Begin' }).click();
    const alert = page.getByRole('alert');
    await alert.waitFor();
    expect(await alert.textContent()).toContain('the load printed on the cell');
    await page.getByLabel('Load printed on the cell').fill('49');
    await page.getByLabel('Whole travel of the slide').fill('24');
    await page.getByRole('button', { name: 'Begin' }).click();
    for (let step = 1; step <= 4; step++) {
      await page.getByText(`Step ${step} of 4`).waitFor();
      expect(await page.locator('.step-caution').textContent()).toMatch(/power|Gently/);
      await page.getByRole('button', { name: 'Done, read it' }).click();
    }
    await page.getByText('a run ends at 29.4 N of the cell’s 49 N').waitFor();
    await expectAccessible(page, 'care-led');
    await page.getByRole('button', { name: 'Enter it for simulated rig' }).click();
    await page.getByText('Entered as profile 1 of simulated rig.').waitFor();
    await page.getByRole('button', { name: 'Done', exact: true }).click();
    await page.getByRole('button', { name: 'Begin' }).waitFor();
    expect(complaints.filter((complaint) => !complaint.includes('400'))).toEqual([]);
    await page.close();
  });

  it('takes readings that were typed, shows what they come to, and enters them', async () => {
    const { page } = await openPage(dashboard.browser, 'desktop', 'light');
    await page.goto(`${dashboard.address}care?about=calibrate&rig=1`);
    await page.getByRole('button', { name: 'I have readings already' }).click();
    const rows = [0, 100, 200, 500, 800, 1000, 800, 500, 200, 100, 0];
    const text = ['mass_g,reading_counts', ...rows.map((mass) => `${mass},${41_000 + 214.8 * mass}`)];
    await page.getByLabel('Known values and readings').fill(text.join('\n'));
    await page.getByRole('button', { name: 'Work it out' }).click();
    await page.locator('.typed-readings svg.care-picture').waitFor();
    const before = (await known()).rig!.calibrations.length;
    await page.getByRole('button', { name: 'Enter it for invented rig' }).click();
    await page.getByText(`Entered as calibration ${before + 1} of invented rig.`).waitFor();
    expect((await known()).rig!.calibrations).toHaveLength(before + 1);
    await page.close();
  });
});
