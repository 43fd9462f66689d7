import { join } from 'node:path';
import { SetUpFailure } from '../set-up/failure.mjs';
import { isProgram, onPath } from '../set-up/processes.mjs';

/** Variables that may name a browser to use, first one wins. */
const variables = ['CHROME_PATH', 'CHROMIUM_PATH', 'PUPPETEER_EXECUTABLE_PATH', 'BROWSER_PATH'];

/**
 * The browser that the browser tests drive: an installed Chrome, Chromium or Edge.
 * @returns {string | null} the path of its program
 * @throws {SetUpFailure} where a variable names a program that is not there
 */
export function findBrowser() {
  for (const variable of variables) {
    const path = process.env[variable];
    if (!path) continue;
    if (isProgram(path)) return path;
    throw new SetUpFailure(`${variable} names ${path}, which is not a program`);
  }
  return candidates().find(isProgram) ?? null;
}

function candidates() {
  if (process.platform === 'darwin')
    return ['/Applications', join(process.env.HOME ?? '/', 'Applications')].flatMap((folder) => [
      `${folder}/Google Chrome.app/Contents/MacOS/Google Chrome`,
      `${folder}/Chromium.app/Contents/MacOS/Chromium`,
      `${folder}/Microsoft Edge.app/Contents/MacOS/Microsoft Edge`,
    ]);
  if (process.platform === 'win32')
    return ['ProgramFiles', 'ProgramFiles(x86)', 'LocalAppData'].flatMap((variable) => {
      const folder = process.env[variable];
      return folder
        ? [
            join(folder, 'Google/Chrome/Application/chrome.exe'),
            join(folder, 'Chromium/Application/chrome.exe'),
            join(folder, 'Microsoft/Edge/Application/msedge.exe'),
          ]
        : [];
    });
  return [
    // The same browser without windows: a page takes it a third of the work.
    'chromium-headless-shell',
    'chromium',
    'chromium-browser',
    'google-chrome',
    'google-chrome-stable',
    'microsoft-edge',
    'microsoft-edge-stable',
  ]
    .map(onPath)
    .filter((path) => path !== null)
    .concat(['/snap/bin/chromium', '/opt/google/chrome/chrome', '/opt/microsoft/msedge/msedge']);
}
