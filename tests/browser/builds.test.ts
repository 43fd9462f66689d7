import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { BuildsBody } from '../../dashboard/server/api.js';
import { violationsOn } from './accessibility.js';
import { browsedDashboard } from './browsed-dashboard.js';
import { keepScreenshot, openPage } from './dashboard-in-browser.js';

const dashboard = browsedDashboard();

const heading = (page: Page, text: string | RegExp) =>
  page.getByRole('heading', { level: 1, name: text }).waitFor();
const buildNamed = (page: Page, name: string) =>
  page.locator('li.build', { has: page.getByRole('heading', { level: 3, name }) });
const builds = async () =>
  ((await (await fetch(`${dashboard.address}api/builds`)).json()) as BuildsBody).builds;
const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name, exact: true });
const section = (page: Page, name: string | RegExp) =>
  page.getByRole('navigation', { name: 'Sections' }).getByRole('link', { name }).click();

/** Browsers log every refusal of a server; these are shown on the page as well. */
const isNoRefusal = (complaint: string) => !/^Failed to load resource.* 4\d\d /.test(complaint);

/** A logger's file of another language: semicolons, decimal commas, a cycle of 10 mm to and fro. */
function foreignCsv(spoilt = false): string {
  const comma = (value: number) => value.toFixed(4).replace('.', ',');
  const rows = Array.from({ length: 1200 }, (_, i) => {
    const phase = i / 20;
    const force_N = 2 * Math.cos(phase) + 1.5 * Math.sign(Math.cos(phase));
    return [i / 200, 15 + 5 * Math.sin(phase), force_N].map(comma).join(';');
  });
  if (spoilt) rows[699] = rows[699]!.replace(';', ';o');
  return `Zeit [s];Weg [mm];Kraft [N]\n${rows.join('\n')}\n`;
}

/** Drops files on the page, as a hand does. */
async function drop(page: Page, files: Readonly<Record<string, string>>): Promise<void> {
  const transfer = await page.evaluateHandle((texts) => {
    const data = new DataTransfer();
    for (const [name, text] of Object.entries(texts))
      data.items.add(new File([text], name, { type: 'text/csv', lastModified: 1.7e12 }));
    return data;
  }, files);
  await page.dispatchEvent('.drop-zone', 'dragover', { dataTransfer: transfer });
  await page.dispatchEvent('.drop-zone', 'drop', { dataTransfer: transfer });
}

/** A picture that a browser can draw, 6 by 4 pixels. */
const drawnPhoto = (page: Page) =>
  page.evaluate(async () => {
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [6, 4];
    canvas.getContext('2d')!.fillRect(0, 0, 3, 4);
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
    return [...new Uint8Array(await blob!.arrayBuffer())];
  });

describe('the place Builds', () => {
  it('goes from an empty logbook to builds, a shelf, imported recordings, and back again', async () => {
    const { page, complaints, requests } = await openPage(dashboard.browser, 'desktop', 'light');
    await page.goto(`${dashboard.address}builds`);

    // A first build, typed with a decimal comma.
    await heading(page, 'No builds yet.');
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'builds-empty-desktop');
    await section(page, 'Shelf');
    await heading(page, 'Nothing on the shelf yet.');
    await page.getByLabel('Its name').fill('thick');
    await button(page, 'Put on the shelf').click();
    await page.getByRole('alert').getByText('the viscosity of the oil').first().waitFor();
    await page.getByLabel('Viscosity as printed').fill('512,5');
    await button(page, 'Put on the shelf').click();
    await heading(page, 'One item on the shelf.');
    await section(page, 'Lineage');
    await button(page, 'Make the first build').click();
    for (const part of ['Seal', 'Oil', 'Holes']) await button(page, part).click();
    await page.getByLabel('Seal', { exact: true }).fill('blue');
    await page.getByLabel('Oil, as the bottle says').fill('thin');
    await page.getByLabel('Its viscosity').fill('350');
    await page.getByLabel('Number of holes').fill('3');
    await page.getByLabel('Diameter of a hole').fill('99');
    await page.getByLabel('Shock', { exact: true }).fill('front left');
    await page.getByLabel('Name of the build').fill('as bought');
    await button(page, 'Make the build').click();
    await page.getByText('Wanted a number from 0.1 to 20 mm').waitFor();
    await page.getByLabel('Diameter of a hole').fill('1,2');
    await button(page, 'Make the build').click();
    await buildNamed(page, 'as bought').waitFor();

    // A new one from it, with the oil of the shelf; the rest is inherited.
    await buildNamed(page, 'as bought').locator('summary').click();
    await button(page, 'New build from this').click();
    await page.getByText('Stays: seal blue').waitFor();
    await button(page, 'Oil').click();
    await page.getByLabel('Oil, as the bottle says').fill('thick');
    await expect.poll(() => page.getByLabel('Its viscosity').inputValue()).toBe('512.5');
    await page.getByLabel('Name of the build').fill('thick oil');
    await keepScreenshot(page, 'builds-new-desktop');
    await button(page, 'Make the build').click();
    await buildNamed(page, 'thick oil').waitFor();
    // The keyboard goes on where the new build is.
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.closest('li.build')?.textContent))
      .toMatch(/^ *thick oil/);
    expect((await builds())[1]).toMatchObject({
      change: 'oil: thin, 350 cSt at 25 °C → thick, 512.5 cSt at 25 °C',
      parts: [
        { part: 'seal', inherited: true },
        { part: 'oil', inherited: false },
        { part: 'holes', inherited: true },
      ],
    });
    await expect
      .poll(() => buildNamed(page, 'thick oil').locator('.change').textContent())
      .toContain('thin, 350 cSt at 25 °C → thick');

    // A photo, drawn anew by the page.
    await buildNamed(page, 'thick oil').locator('summary').click();
    const photo = Buffer.from(await drawnPhoto(page));
    await buildNamed(page, 'thick oil').getByLabel('What the next photo shows').fill('the worn seal');
    await buildNamed(page, 'thick oil')
      .locator('input[type=file]')
      .setInputFiles({ name: 'seal.png', mimeType: 'image/png', buffer: photo });
    await page.getByAltText('the worn seal').waitFor();
    expect((await builds())[1]!.photos).toMatchObject([{ width_px: 6, height_px: 4 }]);
    await button(page, 'Say anew what photo the worn seal shows').click();
    await page.getByLabel('What it shows').fill('its worn lip');
    await page.keyboard.press('Enter');
    await page.getByAltText('its worn lip').waitFor();

    // What was done is undone after the page, too, was closed in between.
    await page.reload();
    await button(page, /^Undo: what is said of photo 'its worn lip'/).click();
    await button(page, /^Undo: new photo 'the worn seal'/).click();
    await button(page, /^Undo: new build 'thick oil'/).click();
    await expect.poll(async () => (await builds()).map(({ name }) => name)).toEqual(['as bought']);
    await page.reload();
    await button(page, /^Redo: new build 'thick oil'/).click();
    await buildNamed(page, 'thick oil').waitFor();
    await page.locator('h1').click();
    await page.keyboard.press('Control+z');
    await buildNamed(page, 'thick oil').waitFor({ state: 'detached' });
    await page.keyboard.press('Control+Shift+z');
    await buildNamed(page, 'thick oil').waitFor();

    // Three files dropped at once; one is spoilt in a line, one is a letter.
    await section(page, 'Import and export');
    await drop(page, {
      'alt 1.csv': foreignCsv(),
      'alt 2.csv': foreignCsv(true),
      'brief.csv': 'Dear Sir,\n',
    });
    const file = (name: string) => page.locator('li.file', { has: page.getByRole('heading', { name }) });
    await file('alt 1.csv').getByText('positions of 10.0 to 20.0 mm and forces of −3.5 to 3.5 N').waitFor();
    await file('alt 1.csv').getByText('numbers such as 0,0000').waitFor();
    await file('brief.csv').getByRole('alert').waitFor();
    expect(await file('alt 2.csv').getByRole('alert').textContent()).toMatch(
      /alt 2\.csv, line 701, column Weg \[mm\].*found 'o.*Wanted a number/,
    );
    const unit = file('alt 1.csv').getByLabel('Unit of Weg [mm]');
    await unit.selectOption('in');
    await file('alt 1.csv').getByText('positions of 254.0 to 508.0 mm').waitFor();
    await unit.selectOption('mm');
    await file('alt 1.csv').getByText('positions of 10.0 to 20.0 mm').waitFor();
    await page.getByLabel('They are recordings of').selectOption({ label: 'thick oil' });
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'builds-import-desktop');
    await button(page, 'Import one file, as a remount').click();
    await file('alt 1.csv').getByText('In the logbook as remount 1: 1200 rows.').waitFor();
    expect((await builds())[1]!.recordings).toMatchObject([
      { state: 'complete', remount: 1, rig: 'file alt 1.csv' },
    ]);

    // An import that is stopped leaves nothing behind.
    const slow = await page.context().newCDPSession(page);
    const network = { offline: false, latency: 0, downloadThroughput: -1 };
    await drop(page, { 'other.csv': foreignCsv().replace('[N]', '[kp]') });
    const other = file('other.csv');
    // A unit that nobody knows is asked for before anything can be imported.
    await other.getByText('kp is no unit that is known here: say which it is').waitFor();
    expect(await button(page, /^Import no files/).isDisabled()).toBe(true);
    await other.getByLabel('Unit of Kraft [kp]').selectOption('kgf');
    await slow.send('Network.emulateNetworkConditions', { ...network, uploadThroughput: 20_000 });
    await button(page, 'Import one file, as a remount').click();
    await button(page, 'Stop importing').click();
    await other.getByText('positions of 10.0 to 20.0 mm').waitFor();
    await slow.send('Network.emulateNetworkConditions', { ...network, uploadThroughput: -1 });
    expect(await other.getByRole('alert').count()).toBe(0);
    expect((await builds())[1]!.recordings).toHaveLength(1);

    // To the bin and back; then the bin is emptied, and it asks first.
    await section(page, 'Lineage');
    const entry = buildNamed(page, 'thick oil');
    await entry.locator('summary').click();
    await button(page, 'Move remount 1 to the bin').click();
    await entry.getByText('in the bin').waitFor();
    await entry.getByRole('button', { name: 'Move to the bin', exact: true }).click();
    await entry.waitFor({ state: 'detached' });
    await section(page, 'Bin (1)');
    await button(page, /^Take back build 'thick oil'/).click();
    await button(page, "Take back remount 1 of 'thick oil'").click();
    await button(page, /^Empty the bin/).click();
    await keepScreenshot(page, 'builds-bin-desktop');
    await button(page, 'Delete one thing for good').click();
    await heading(page, 'The bin is empty.');
    expect((await builds())[1]!.recordings).toMatchObject([{ state: 'complete' }]);

    // Everything out.
    const { body } = await fetch(`${dashboard.address}api/export.zip`);
    expect(body).not.toBeNull();
    await body!.cancel();

    // Found again by what it is made of.
    await section(page, 'Lineage');
    await page.getByRole('searchbox').fill('THICK 512');
    await page.getByText('One build found.').waitFor();
    await buildNamed(page, 'as bought').waitFor({ state: 'detached' });
    await buildNamed(page, 'thick oil').locator('summary').click();
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'builds-lineage-desktop');
    expect(complaints.filter(isNoRefusal)).toEqual([]);
    expect(requests.filter((url) => !url.startsWith(dashboard.address) && !url.startsWith('data:'))).toEqual(
      [],
    );
    await page.close();
  });

  it('fits a phone', async () => {
    const { page, complaints } = await openPage(dashboard.browser, 'phone', 'light');
    await page.goto(`${dashboard.address}builds`);
    await buildNamed(page, 'thick oil').locator('summary').click();
    await buildNamed(page, 'thick oil').getByRole('button', { name: 'New build from this' }).click();
    await button(page, 'Seal').click();
    expect(await violationsOn(page)).toEqual([]);
    expect(
      await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
    ).toBe(0);
    await keepScreenshot(page, 'builds-phone');
    expect(complaints).toEqual([]);
    await page.close();
  });
});
