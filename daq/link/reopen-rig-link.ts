import { DaqError, type DaqErrorCode } from '../daq-error.js';
import { realHostClock } from '../host-clock.js';
import { openRigLink, type RigLink, type RigLinkOptions } from './rig-link.js';

const TRY_EVERY_MS = 1000;

/** What a plug that is not in yet, or a board that is still starting, looks like. */
const NOT_YET: readonly DaqErrorCode[] = [
  'port-missing',
  'port-forbidden',
  'port-busy',
  'port-failed',
  'rig-silent',
  'rig-unreadable',
  'rig-unidentified',
];

/** Failures of a run after which the same rig may come back. */
export const MAY_COME_BACK: readonly DaqErrorCode[] = ['port-failed', 'rig-silent', 'rig-restarted'];

/**
 * Waits for a rig that was lost, once a second, and opens it again: at rest, whatever it was doing before.
 * @param rigName whose name must be on it
 * @param within_s how long to wait, on the link's clock
 * @param open how; for a rig that does not speak the protocol
 * @throws DaqError of the last try when the time is over, 'rig-other' when another rig is plugged in; the signal's reason
 */
export async function reopenRigLink(
  options: RigLinkOptions,
  rigName: string,
  within_s: number,
  signal?: AbortSignal,
  open: () => Promise<RigLink> = () => openRigLink(options),
): Promise<RigLink> {
  const clock = options.clock ?? realHostClock;
  const giveUp_ms = clock.now_ms() + 1000 * within_s;
  for (;;) {
    signal?.throwIfAborted();
    try {
      const link = await open();
      if (link.identity().rigName === rigName) return link;
      await link.close();
      throw new DaqError('rig-other', {
        where: link.path,
        found: `rig '${link.identity().rigName}'`,
        wanted: `'${rigName}', which was being recorded`,
      });
    } catch (error) {
      const isNotYet = error instanceof DaqError && NOT_YET.includes(error.code);
      if (!isNotYet || clock.now_ms() >= giveUp_ms) throw error;
    }
    await new Promise<void>((resolve) => clock.after(TRY_EVERY_MS, resolve));
  }
}
