import { constants } from 'node:fs';
import { access, readFile, stat } from 'node:fs/promises';
import { DaqError } from '../daq-error.js';

/**
 * Says in words why a port could not be opened.
 * @param reason what serialport gave: on Linux and macOS `Error: <text>, cannot open <path>` without a code
 * @returns DaqError 'port-missing', 'port-forbidden', 'port-busy' or 'port-failed'
 */
export async function portFailure(path: string, reason: Error): Promise<DaqError> {
  const text = reason.message;
  const options = { cause: reason };
  if (/no such file|not found|does not exist|ENOENT|unknown error code 2\b/i.test(text))
    return new DaqError(
      'port-missing',
      { where: path, found: 'no such port', wanted: 'one that `ports` lists; is the cable in?' },
      options,
    );
  if (/permission denied|access denied|EACCES|EPERM/i.test(text)) {
    const group = await groupOf(path);
    const wanted =
      process.platform === 'linux'
        ? `a user in group ${group}: run \`sudo usermod -a -G ${group} $USER\`, then log in again`
        : 'a port that no other program holds and this user may open';
    return new DaqError(
      'port-forbidden',
      { where: path, found: 'no permission to open it', wanted },
      options,
    );
  }
  if (/cannot lock|resource busy|locked|EBUSY|EAGAIN|temporarily unavailable/i.test(text))
    return new DaqError(
      'port-busy',
      {
        where: path,
        found: 'a port that another program holds',
        wanted: 'a free one; close the other program',
      },
      options,
    );
  const found = /inappropriate ioctl|is a directory/i.test(text)
    ? 'something that is not a serial port'
    : text.replace(/^Error: /, '');
  return new DaqError('port-failed', { where: path, found, wanted: 'a serial port' }, options);
}

/**
 * Whether this user may open a port, without opening it.
 * @returns null where so; the refusal in words otherwise
 */
export async function portAccess(path: string): Promise<DaqError | null> {
  try {
    await access(path, constants.R_OK | constants.W_OK);
    return null;
  } catch (error) {
    return portFailure(path, error as Error);
  }
}

/** The group that owns a device node, by name where the system's list has it; `dialout` (Debian's) otherwise. */
async function groupOf(path: string): Promise<string> {
  try {
    const { gid } = await stat(path);
    const groups = await readFile('/etc/group', 'utf8');
    const entry = groups.split('\n').find((line) => line.split(':')[2] === String(gid));
    return entry?.split(':')[0] || 'dialout';
  } catch {
    return 'dialout';
  }
}
