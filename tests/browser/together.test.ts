import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Page, Request } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import type { CompareBody } from '../../dashboard/server/api.js';
import { differenceRows, differenceSentence, plusMinus } from '../../dashboard/wording/index.js';
import { runCli } from '../dashboard/run-cli.js';
import { violationsOn } from './accessibility.js';
import { browsedDashboard } from './browsed-dashboard.js';
import { keepScreenshot, openPage, renewReadmePicture } from './dashboard-in-browser.js';
import { recordTwoBuilds } from './recorded-logbook.js';

const dashboard = browsedDashboard(recordTwoBuilds);
/** The overlay as it opens, for the tests that only look at it. */
let page: Page;

beforeAll(async () => {
  ({ page } = await openTogether());
  await renewReadmePicture(page, 'together', 1225);
});

/** The overlay, once its pictures are drawn. */
async function openTogether(query = '') {
  const watched = await openPage(dashboard.browser, 'desktop', 'light');
  const asked = analysesAsked(watched.page);
  await watched.page.goto(`${dashboard.address}together${query}`);
  await drawn(watched.page);
  return { ...watched, analyses: asked() };
}

/** How many analyses are asked for, and the most of them at once. */
function analysesAsked(page: Page): () => { readonly inAll: number; readonly atOnce: number } {
  let [inAll, asking, atOnce] = [0, 0, 0];
  const isAnalysis = (request: Request) => request.url().endsWith('/analysis');
  page.on('request', (request) => {
    if (!isAnalysis(request)) return;
    inAll++;
    atOnce = Math.max(atOnce, ++asking);
  });
  page.on('requestfinished', (request) => {
    if (isAnalysis(request)) asking--;
  });
  return () => ({ inAll, atOnce });
}

async function drawn(page: Page): Promise<void> {
  await page.locator('.differences').first().waitFor();
  await page.locator('.main-picture .scatterlayer .js-line').first().waitFor();
  await page.waitForFunction(() => document.querySelectorAll('.js-plotly-plot').length >= 3);
}

/** What a button gives to save. */
async function saved(
  page: Page,
  button: string,
  fileName: string,
  encoding: BufferEncoding = 'utf8',
): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: button }).click(),
  ]);
  expect(download.suggestedFilename()).toBe(fileName);
  const chunks = await (await download.createReadStream()).toArray();
  return Buffer.concat(chunks as Buffer[]).toString(encoding);
}

/** Colours of lines in the main picture: one a build. */
const drawnLines = (page: Page): Promise<number> =>
  page.locator('.main-picture .scatterlayer .js-line').evaluateAll((paths) => {
    const strokes = paths.map((path) => getComputedStyle(path));
    return new Set(
      strokes.filter(({ strokeWidth }) => Number.parseFloat(strokeWidth) > 1).map(({ stroke }) => stroke),
    ).size;
  });

/** What is drawn beneath the lines of the main picture: pixels of lone points and of bands, and colours of markers. */
const beneathLines = (page: Page) =>
  page.locator('.main-picture .underlay canvas').evaluate((canvas: HTMLCanvasElement) => {
    const { width, height } = canvas;
    const copy = new OffscreenCanvas(width, height).getContext('2d')!;
    copy.drawImage(canvas, 0, 0);
    const { data } = copy.getImageData(0, 0, width, height);
    const opacities = data.filter((_, i) => i % 4 === 3);
    const of = (share: number) =>
      opacities.filter(
        (opacity) => opacity === Math.round(255 * share) || opacity === Math.floor(255 * share),
      );
    const opaque: string[] = [];
    for (const [pixel, opacity] of opacities.entries())
      if (opacity === 255) opaque.push(data.slice(4 * pixel, 4 * pixel + 3).join());
    // Whole markers, not chance meetings of many points.
    const counted = new Map<string, number>();
    for (const colour of opaque) counted.set(colour, (counted.get(colour) ?? 0) + 1);
    return {
      points: of(0.22).length,
      bands: of(0.2).length,
      markers: [...counted.values()].filter((pixels) => pixels > 100).length,
    };
  });

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
    const command = await runCli(['compare', ...sides, '--json', '--logbook', dashboard.logbook]);
    // The command says more beside: what all comparisons together allow, and how many remounts would do.
    expect(JSON.parse(command.stdout).differences).toMatchObject(comparison.differences);
  });

  it('are both drawn: band, line, measured points behind, and their names at the ends of the lines', async () => {
    const picture = page.locator('.main-picture .plot');
    const names = await picture.locator('.line-names > *').allTextContents();
    expect(names.toSorted()).toEqual(['Draggy seal', 'Low-drag seal']);
    expect(await drawnLines(page)).toBe(2);
    const { points, bands, markers } = await beneathLines(page);
    expect(points).toBeGreaterThan(1000);
    expect(bands).toBeGreaterThan(100);
    expect(markers).toBe(2);
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
    // Of the six connections that a browser keeps, one tells what goes on; the stop button needs one too.
    expect(again.analyses.inAll).toBeGreaterThan(4);
    expect(again.analyses.atOnce).toBeLessThan(5);
    await again.page.close();
  });

  it('keep their points when somebody zooms, and show all again', async () => {
    const plot = (await page.locator('.main-picture .plot').boundingBox())!;
    const all = await beneathLines(page);
    const title = page.locator('.main-picture .xtick text').first();
    const first = await title.textContent();
    await page.mouse.move(plot.x + plot.width * 0.45, plot.y + 20);
    await page.mouse.down();
    await page.mouse.move(plot.x + plot.width * 0.75, plot.y + plot.height * 0.5, { steps: 3 });
    await page.mouse.up();
    await expect.poll(() => title.textContent()).not.toBe(first);
    await expect.poll(() => beneathLines(page)).not.toEqual(all);
    expect((await beneathLines(page)).points).toBeGreaterThan(100);
    await page.mouse.dblclick(plot.x + plot.width * 0.5, plot.y + plot.height * 0.3);
    await expect.poll(() => beneathLines(page)).toEqual(all);
  });

  it('let their pictures be saved as they look', async () => {
    const button = (format: string) => `Save “Force against velocity” as ${format}`;
    const png = await saved(page, button('PNG'), 'force-against-velocity.png', 'latin1');
    expect(png.slice(0, 4)).toBe('\x89PNG');
    const svg = await saved(page, button('SVG'), 'force-against-velocity.svg');
    expect(svg).toMatch(/^<svg/);
    // A band is one shape of two pieces, one a direction.
    const bands = [...svg.matchAll(/<path class="js-fill" d="([^"]*)"/g)].map(
      ([, d]) => d!.match(/M/g)!.length,
    );
    expect(bands).toEqual([2, 2]);
    for (const name of ['Draggy seal', 'Low-drag seal']) expect(svg).toContain(`>${name}</text>`);
    expect(svg.match(/<path class="point"/g)!.length).toBeGreaterThan(10);
    expect(svg.match(/<image [^>]*href="data:image\/png/g)).toHaveLength(1);
  });

  it('are drawn another way, all of which a bookmark brings back: force, direction, temperature, units, what is hidden', async () => {
    const { page, complaints } = await openTogether();
    const picture = page.locator('.main-picture .js-plotly-plot');
    const options = page.getByRole('form', { name: 'How it is drawn' });
    await options.getByLabel('Force').selectOption('damping');
    await options.getByLabel('Direction').selectOption('compression');
    await options.getByLabel('Damping at, °C').fill('35,5');
    await page.keyboard.press('Tab');
    await expect.poll(() => page.url()).toContain('deg=35.5');
    await page.getByLabel('Units').selectOption('lbf-in');
    await expect.poll(() => picture.locator('.ytitle').textContent()).toBe('Damping, lbf');
    expect(await page.locator('h1').textContent()).toMatch(/drags [\d.]+ lbf less/);
    await page.getByLabel('Speeds, in/s').fill('2; 3,5');
    await page.keyboard.press('Tab');
    await expect.poll(() => page.url()).toContain('speeds=50.8,88.9');
    const lineName = page.locator('.main-picture .line-names');
    await lineName.getByText('Low-drag seal').click();
    await lineName.getByText('Low-drag seal (hidden)').waitFor();
    const bookmark = new URL(page.url()).search;
    expect(bookmark).toBe('?show=damping&side=compression&deg=35.5&hide=2&speeds=50.8,88.9&units=lbf-in');
    expect(await drawnLines(page)).toBe(1);
    expect(await page.locator('.differences').count()).toBe(1);
    expect(await violationsOn(page)).toEqual([]);
    await page.close();

    // Without its units: those the browser keeps.
    const again = await openTogether(bookmark.replace('&units=lbf-in', ''));
    await again.page.getByText('Low-drag seal (hidden)').first().waitFor();
    await again.page.getByRole('button', { name: 'Hide Low-drag seal in the pictures' }).click();
    await expect.poll(() => drawnLines(again.page)).toBe(2);
    expect(again.page.url()).not.toContain('hide=');
    await again.page.getByText('Damping is brought to 35.5 °C').first().waitFor();
    const title = () => again.page.locator('.main-picture .xtitle').textContent();
    expect(await title()).toMatch(/^Velocity, in/);
    await again.page.getByLabel('Units').selectOption('N-mm');
    await expect.poll(title).toMatch(/^Velocity, mm/);
    expect([...complaints, ...again.complaints]).toEqual([]);
    await again.page.close();
  });

  it('are saved as numbers: what is drawn, with units in the headings and intervals', async () => {
    const text = await saved(page, 'Save “Force against velocity” as CSV', 'force-against-velocity.csv');
    const [columns, ...rows] = text
      .trimEnd()
      .split('\r\n')
      .map((line) => line.split(','));
    expect(columns!.join()).toBe('build,what,velocity_mm_per_s,force_N,force_low95_N,force_high95_N');
    const curve = rows.filter(([name, what]) => name === 'Draggy seal' && what === 'mean of the remounts');
    const drawnAt = await page
      .locator('.main-picture .js-plotly-plot')
      .evaluate((plot) =>
        (plot as unknown as { data: { name?: string; x: (number | null)[] }[] }).data.flatMap(
          ({ name, x }) => (name === 'Draggy seal' ? x.filter((at) => at !== null) : []),
        ),
      );
    expect(curve.length).toBe(drawnAt.length);
    for (const [i, [, , velocity, force, low, high]] of curve.entries()) {
      expect(Number(velocity)).toBeCloseTo(drawnAt[i]!, 3);
      expect(Number(low)).toBeLessThan(Number(force));
      expect(Number(high)).toBeGreaterThan(Number(force));
    }
    expect(rows.filter(([, what]) => what === 'remount 3 as measured').length).toBeGreaterThan(100);
    const pictures = await page.locator('.js-plotly-plot').count();
    expect(await page.getByRole('button', { name: /as CSV$/ }).count()).toBe(pictures);
  });

  it('are drawn in view first, and a picture that waits its turn is saved as it should be by then', async () => {
    const lines = page.locator('[aria-label="Drag against position"] .scatterlayer .js-line');
    const [drawnBoth, drawnOne] = [4, 2];
    await expect.poll(() => lines.count()).toBe(drawnBoth);
    await page.evaluate(() => {
      scrollTo(0, 0);
      // A page that is never idle.
      window.requestIdleCallback = () => 0;
    });
    const eye = page.getByRole('button', { name: 'Hide Low-drag seal in the pictures' });
    await eye.click();
    await expect.poll(() => drawnLines(page)).toBe(1);
    expect(await lines.count()).toBe(drawnBoth);
    // Pressed where it is, without bringing it into view.
    const save = page.getByRole('button', { name: 'Save “Drag against position” as CSV' });
    const [download] = await Promise.all([page.waitForEvent('download'), save.dispatchEvent('click')]);
    const chunks = await (await download.createReadStream()).toArray();
    expect(Buffer.concat(chunks as Buffer[]).toString()).not.toContain('Low-drag seal');
    expect(await lines.count()).toBe(drawnOne);
    await eye.click();
    await expect.poll(() => drawnLines(page)).toBe(2);
    await lines.first().scrollIntoViewIfNeeded();
    await expect.poll(() => lines.count()).toBe(drawnBoth);
  });

  it('offer no way to send a chart anywhere', async () => {
    expect(await page.locator('.modebar, [data-attr="sendDataToCloud"], a[href^="http"]').count()).toBe(0);
  });
});

describe('the report', () => {
  it('is one page of paper, and a file that opens by itself and fetches nothing', async () => {
    const watched = await openPage(dashboard.browser, 'desktop', 'dark');
    const { page } = watched;
    await page.goto(`${dashboard.address}together?builds=1,2&report`);
    await page.locator('.report footer').waitFor();
    const { comparison } = (await (
      await fetch(`${dashboard.address}api/compare?before=1&after=2`)
    ).json()) as CompareBody;
    const names = { before: 'Draggy seal', after: 'Low-drag seal' };
    const headline = differenceSentence(comparison.differences[0]!, { names });
    expect(await page.locator('h1').textContent()).toBe(headline);
    expect(await page.locator('.report').textContent()).toContain('From Draggy seal: seal swapped.');
    expect(await violationsOn(page)).toEqual([]);
    await keepScreenshot(page, 'report-desktop');
    for (const format of ['A4', 'Letter'])
      expect((await page.pdf({ format })).toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);

    const path = join(dirname(dashboard.logbook), 'sent.html');
    const name = 'low-drag-seal-against-draggy-seal.html';
    writeFileSync(path, await saved(page, 'Save as a file to send', name));
    const friend = await openPage(dashboard.browser, 'phone', 'light');
    await friend.page.goto(pathToFileURL(path).href);
    expect(await friend.page.locator('h1').textContent()).toBe(headline);
    const picture = friend.page.locator('.picture:visible');
    const { x, width } = (await picture.boundingBox())!;
    expect(x + width).toBeLessThanOrEqual(friend.page.viewportSize()!.width);
    // Letters as large as those beside it, however narrow the screen.
    expect((await picture.getByText('Low-drag seal').boundingBox())!.height).toBeGreaterThan(10);
    const line = picture.locator('path[stroke-width="1.8"]').first();
    expect((await line.boundingBox())!.width).toBeGreaterThan(50);
    expect(await violationsOn(friend.page)).toEqual([]);
    await keepScreenshot(friend.page, 'report-sent-phone');
    expect(friend.requests).toEqual([pathToFileURL(path).href]);
    expect([...watched.complaints, ...friend.complaints]).toEqual([]);
    await Promise.all([page.close(), friend.page.close()]);
  });
});

describe('one build alone', () => {
  it('is said in a sentence with its interval', async () => {
    const watched = await openPage(dashboard.browser, 'desktop', 'light');
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
