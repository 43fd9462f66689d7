import { posix, win32 } from 'node:path';

/**
 * Where the logbook lives unless `--logbook` says otherwise: the platform's folder for a program's data.
 * @param platform as `process.platform`
 * @param environment as `process.env`
 * @param home the person's home folder
 * Source: XDG Base Directory Specification 0.8 (a relative XDG_DATA_HOME is ignored); Apple's and Microsoft's
 * folders for application data, from memory.
 */
export function defaultLogbookPath(
  platform: NodeJS.Platform,
  environment: Readonly<Record<string, string | undefined>>,
  home: string,
): string {
  const file = ['dashpot-bench', 'logbook.sqlite'];
  if (platform === 'win32')
    return win32.join(environment.LOCALAPPDATA || win32.join(home, 'AppData', 'Local'), ...file);
  if (platform === 'darwin') return posix.join(home, 'Library', 'Application Support', ...file);
  const xdg = environment.XDG_DATA_HOME;
  return posix.join(xdg?.startsWith('/') ? xdg : posix.join(home, '.local', 'share'), ...file);
}
