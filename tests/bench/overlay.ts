import { readFileSync } from 'node:fs';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { launchBrowser } from '../browser/dashboard-in-browser.js';
import type { Figures } from './benchmark.js';
import { BUILDS, overlayServer, POINTS_PER_BUILD } from './overlay-server.js';

export const name = 'overlay';
export const what = `${BUILDS} builds over each other, ${POINTS_PER_BUILD} points each, in a browser: the page against the chart library alone`;

const RUNS = 3;

export async function run(print: (line: string) => void): Promise<Figures> {
  const server = await overlayServer();
  const browser = await launchBrowser();
  try {
    const all = Array.from({ length: BUILDS }, (_, i) => i + 1);
    const overlay = `${server.address}together?builds=${all.join()}`;
    const alone_ms: number[] = [];
    const first_ms: number[] = [];
    const usable_ms: number[] = [];
    // In turns, so that what else the machine does falls on both.
    for (let n = 0; n < RUNS; n++) {
      alone_ms.push(await timeTo(browser, `${server.address}alone`, whenAlone));
      first_ms.push(await timeTo(browser, overlay, whenPictured));
      usable_ms.push(await timeTo(browser, overlay, whenUsable));
    }
    const [alone, first, usable] = [alone_ms, first_ms, usable_ms].map((times) => Math.min(...times)) as [
      number,
      number,
      number,
    ];
    print(`page that can be used: after ${usable.toFixed(0)} ms`);
    print(
      `first picture: after ${first.toFixed(0)} ms; the library alone with the same points: ${alone.toFixed(0)} ms; ` +
        `${(first / alone).toFixed(2)} of it (wanted: at most 1.5)`,
    );
    const { usual, newAxes } = await changesOfSelection(browser, overlay, all);
    print(
      `selection changed: ${text(usual.now)} until it is on the screen (wanted: under 100); out of view later ${text(usual.later)}`,
    );
    print(`with other axes: ${text(newAxes.now)}; later ${text(newAxes.later)}`);
    return {
      'page usable, ms': usable,
      'first picture, ms': first,
      'library alone, ms': alone,
      ratio: first / alone,
      'selection changed, ms of main thread': usual.now.tasks_ms,
      'selection changed, ms of processor': usual.now.processor_ms,
      'out of view later, ms of main thread': usual.later.tasks_ms,
      'out of view later, ms of processor': usual.later.processor_ms,
      'with other axes, ms of main thread': newAxes.now.tasks_ms,
      'with other axes, ms of processor': newAxes.now.processor_ms,
    };
  } finally {
    await browser.close();
    await server.close();
  }
}

const text = ({ tasks_ms, processor_ms }: Spent): string =>
  `${tasks_ms.toFixed(0)} ms of the page's main thread (${processor_ms.toFixed(0)} of the processor)`;

/** Milliseconds from asking for a page until it says so itself, in a profile that has nothing kept. */
async function timeTo(browser: Browser, address: string, until: string): Promise<number> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  const page = await context.newPage();
  const broken = new Promise<never>((_resolve, reject) => {
    page.on('pageerror', reject);
    page.on('console', (message) => message.type() === 'error' && reject(new Error(message.text())));
  });
  await page.addInitScript(until);
  await page.goto(address);
  const drawn = page.waitForFunction(() => 'drawn_ms' in window, undefined, {
    timeout: 60_000,
    polling: 100,
  });
  await Promise.race([drawn, broken]);
  const drawn_ms = await page.evaluate(() => (window as unknown as { drawn_ms: number }).drawn_ms);
  await context.close();
  return drawn_ms;
}

const whenAlone = '';

/** Looks once a frame, and counts from after the frame in which it was true. */
const when = (isThere: string) => `
  const look = () => {
    if (${isThere}) setTimeout(() => { window.drawn_ms = performance.now(); });
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
`;

const whenPictured = when("document.querySelector('.main-picture .main-svg .scatterlayer path')");
const whenUsable = when("document.querySelector('.chooser select')");

interface Spent {
  /** Of the tasks of the page's main thread, ms. While other programs want the processor, waiting for it counts, too. */
  readonly tasks_ms: number;
  /** Of the processor by that thread, ms; 0 where the system does not tell. */
  readonly processor_ms: number;
}

interface Changed {
  /** Until the screen shows the new selection: all that the page does not leave to its idle time. */
  readonly now: Spent;
  /** What it did then, in idle time: pictures and tables out of view. */
  readonly later: Spent;
}

/**
 * What it costs to leave out another build, with the chooser at the top of the screen and the overlay below it.
 * The page's idle time is held back until the first part is over, so that both parts are whole.
 */
async function changesOfSelection(
  browser: Browser,
  overlay: string,
  all: readonly number[],
): Promise<{ readonly usual: Changed; readonly newAxes: Changed }> {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.addInitScript(holdIdle);
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable');
  const processes = await browser.newBrowserCDPSession();
  const spent = async (): Promise<Spent> => ({
    tasks_ms: await taskTime_ms(session),
    processor_ms: await processorTime_ms(processes),
  });
  await page.goto(overlay);
  await page.waitForFunction(
    () => document.querySelectorAll('.js-plotly-plot .main-svg').length >= 3,
    undefined,
    { timeout: 120_000 },
  );
  await untilStill(page, session);
  await page.locator('.chooser').evaluate((chooser) => chooser.scrollIntoView());
  const change = async (left: number): Promise<Changed> => {
    const chosen = all.filter((id) => id !== left);
    await untilStill(page, session);
    const before = await spent();
    await page.evaluate((builds) => {
      (window as unknown as Held).isHeld = true;
      history.pushState(null, '', `/together?builds=${builds}`);
      dispatchEvent(new PopStateEvent('popstate'));
    }, chosen.join());
    await untilStill(page, session);
    const shown = await spent();
    const names = await page.locator('.main-picture .line-names > *').allTextContents();
    if (
      names.toSorted().join() !==
      chosen
        .map((id) => `build ${id}`)
        .toSorted()
        .join()
    )
      throw new Error(`after leaving out build ${left}, ${names.join()} are on the screen`);
    await page.evaluate(() => (window as unknown as Held).release());
    await untilStill(page, session);
    return { now: less(shown, before), later: less(await spent(), shown) };
  };
  // The longest line sets the axes. The first change is for warming up.
  await change(12);
  const usual: Changed[] = [];
  for (const left of [11, 10, 9, 8, 7]) usual.push(await change(left));
  const newAxes = await change(12);
  await page.close();
  return { usual: middle(usual), newAxes };
}

interface Held {
  isHeld: boolean;
  release(): void;
}

const holdIdle = `{
  const whenIdle = requestIdleCallback.bind(window);
  const held = [];
  window.requestIdleCallback = (job, options) => (window.isHeld ? held.push(job) : whenIdle(job, options));
  window.release = () => {
    window.isHeld = false;
    for (const job of held.splice(0)) whenIdle(job);
  };
}`;

const less = (after: Spent, before: Spent): Spent => ({
  tasks_ms: after.tasks_ms - before.tasks_ms,
  processor_ms: after.processor_ms - before.processor_ms,
});

function middle(changes: readonly Changed[]): Changed {
  const median = (of: (change: Changed) => number) =>
    changes.map(of).sort((a, b) => a - b)[Math.floor(changes.length / 2)]!;
  const part = (name: keyof Changed): Spent => ({
    tasks_ms: median((change) => change[name].tasks_ms),
    processor_ms: median((change) => change[name].processor_ms),
  });
  return { now: part('now'), later: part('later') };
}

/** Waits until the page has neither run a script to speak of nor laid anything out for a while. */
async function untilStill(page: Page, session: CDPSession): Promise<void> {
  const worked = async () => {
    const values = await metricsOf(session);
    return { script_ms: 1e3 * values('ScriptDuration'), layouts: values('LayoutCount') };
  };
  for (let before = await worked(); ; ) {
    await page.waitForTimeout(700);
    const now = await worked();
    if (now.script_ms - before.script_ms < 3 && now.layouts === before.layouts) return;
    before = now;
  }
}

async function metricsOf(session: CDPSession): Promise<(name: string) => number> {
  const { metrics } = await session.send('Performance.getMetrics');
  return (wanted) => metrics.find(({ name }) => name === wanted)!.value;
}

async function taskTime_ms(session: CDPSession): Promise<number> {
  return 1e3 * (await metricsOf(session))('TaskDuration');
}

/** Of the main threads of all pages; only Linux tells. */
async function processorTime_ms(browser: CDPSession): Promise<number> {
  if (process.platform !== 'linux') return 0;
  const { processInfo } = await browser.send('SystemInfo.getProcessInfo');
  return processInfo
    .filter(({ type }) => type === 'renderer')
    .reduce((sum, { id }) => {
      const [running_ns] = readFileSync(`/proc/${id}/task/${id}/schedstat`, 'utf8').split(' ');
      return sum + Number(running_ns) / 1e6;
    }, 0);
}
