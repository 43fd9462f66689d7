import { listPorts } from '../../daq/index.js';
import { requestError } from './errors.js';

/**
 * Only ports that the system lists are opened: no path from a page reaches the file system.
 * @throws requestError 'port-missing'
 */
export async function requireListedPort(
  rig: { readonly kind: 'port'; readonly path: string } | { readonly kind: 'practice' },
): Promise<void> {
  if (rig.kind !== 'port') return;
  const ports = await listPorts();
  if (ports.some(({ path }) => path === rig.path)) return;
  throw requestError(409, {
    code: 'port-missing',
    found: `${rig.path}, which is not among the serial ports now`,
    wanted: 'a port that is listed; is the cable in?',
    where: 'body.rig.path',
  });
}
