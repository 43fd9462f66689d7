import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { cliPath } from '../dashboard/run-cli.js';
import { findBrowser } from './find-browser.mjs';

const shots = fileURLToPath(new URL('../../artefacts/screenshots/', import.meta.url));

export type Scheme = 'light' | 'dark';
/** A phone and a desktop, CSS pixels. */
export const widths = { phone: 390, desktop: 1440 } as const;
export type Width = keyof typeof widths;

/** A folder for logbooks that goes when the tests end. */
export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'dashpot-bench-browser-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

export interface Dashboard {
  /** Ends in a slash. */
  readonly address: string;
  stop(): Promise<void>;
}

/** Starts the dashboard as its users do: the command, in a process of its own. */
export async function startDashboard(logbook: string): Promise<Dashboard> {
  if (!existsSync(cliPath)) throw new Error(`${cliPath} is missing: run 'npm run build' first`);
  const child = spawn(process.execPath, [cliPath, 'start', '--no-open', '--logbook', logbook]);
  const address = await addressSaid(child);
  return {
    address,
    stop: () =>
      new Promise((resolve) => {
        child.once('exit', () => resolve());
        child.kill('SIGINT');
      }),
  };
}

function addressSaid(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    const listen = (text: Buffer) => {
      said += text.toString();
      const [address] = /http:\/\/127\.0\.0\.1:\d+\//.exec(said) ?? [];
      if (address) resolve(address);
    };
    child.stdout?.on('data', listen);
    child.stderr?.on('data', listen);
    child.once('exit', (status) => reject(new Error(`start ended with status ${status}: ${said}`)));
  });
}

/** A real browser that can reach nothing but this machine. */
export function launchBrowser(): Promise<Browser> {
  const executablePath = findBrowser();
  if (!executablePath)
    throw new Error('no Chrome, Chromium or Edge is installed, and the browser tests need one');
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
      '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1',
    ],
  });
}

/** A page whose requests and complaints are kept. */
export interface WatchedPage {
  readonly page: Page;
  readonly requests: string[];
  /** Errors on the console, refused by the policy or thrown. */
  readonly complaints: string[];
}

let shared: Promise<Browser> | undefined;

/** The browser of all files that this process runs, started once; it ends with the process. */
export function sharedBrowser(): Promise<Browser> {
  shared ??= launchBrowser();
  return shared;
}

const contexts = new WeakMap<Browser, Map<string, Promise<BrowserContext>>>();

/** Ends a file's part in a browser: its pages, and what they kept. */
export async function leaveBrowser(browser: Browser | undefined): Promise<void> {
  if (!browser) return;
  contexts.delete(browser);
  await Promise.all(browser.contexts().map((context) => context.close()));
}

/** One profile for each look, so that the chart library is read once. */
function contextOf(browser: Browser, width: Width, scheme: Scheme): Promise<BrowserContext> {
  const ofBrowser = contexts.get(browser) ?? new Map<string, Promise<BrowserContext>>();
  contexts.set(browser, ofBrowser);
  const look = `${width} ${scheme}`;
  const context =
    ofBrowser.get(look) ??
    browser.newContext({
      viewport: { width: widths[width], height: width === 'phone' ? 844 : 900 },
      colorScheme: scheme,
      deviceScaleFactor: width === 'phone' ? 2 : 1,
    });
  ofBrowser.set(look, context);
  return context;
}

export async function openPage(browser: Browser, width: Width, scheme: Scheme): Promise<WatchedPage> {
  const page = await (await contextOf(browser, width, scheme)).newPage();
  // Generous, for machines that do much else; nothing here depends on how long it takes.
  page.setDefaultTimeout(60_000);
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  return { page, requests, complaints };
}

/** Keeps a picture of the whole page for people to look at. */
export async function keepScreenshot(page: Page, name: string): Promise<void> {
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), fullPage: true });
}

const readmePictures = fileURLToPath(new URL('../../sample-data/pictures/', import.meta.url));

/** Renews a picture of the README; only when asked to, with UPDATE_PICTURES=1. */
export async function renewReadmePicture(page: Page, name: string, height: number): Promise<void> {
  if (process.env.UPDATE_PICTURES !== '1') return;
  mkdirSync(readmePictures, { recursive: true });
  await page.screenshot({
    path: join(readmePictures, `${name}.png`),
    clip: { x: 0, y: 0, width: widths.desktop, height },
    fullPage: true,
  });
}
