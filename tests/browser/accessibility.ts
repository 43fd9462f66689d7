import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { keepScreenshot } from './dashboard-in-browser.js';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Outcome {
  id: string;
  nodes: { html: string; failureSummary?: string }[];
}

interface AxeResult {
  violations: Outcome[];
  /** What axe could not decide. */
  incomplete: Outcome[];
}

/**
 * What axe-core finds wrong with the page by WCAG 2.2 A and AA and its own best practices, in readable lines.
 * Text whose contrast it cannot decide counts as well, but for the texts of pictures and of selects (their arrow
 * is a background image).
 */
export async function violationsOn(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  const { violations, incomplete } = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(options: object): Promise<AxeResult> } }).axe.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    }),
  );
  const undecided = incomplete
    .filter(({ id }) => id === 'color-contrast')
    .flatMap(({ nodes }) => nodes)
    .filter(({ html }) => !/^<(select|text)\b/.test(html));
  return [...violations, { id: 'undecided contrast', nodes: undecided }].flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary = '' }) => `${id}: ${html} ${failureSummary.replace(/\s+/g, ' ')}`),
  );
}

/** Nothing that axe finds, nothing wider than the screen; and a picture of it for people to look at. */
export async function expectAccessible(page: Page, name: string): Promise<void> {
  expect(await violationsOn(page)).toEqual([]);
  expect(
    await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
  ).toBe(0);
  await keepScreenshot(page, name);
}
