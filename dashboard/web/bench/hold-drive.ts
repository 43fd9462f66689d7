import { postBody } from '../api.js';
import { session } from '../live.js';

/** Four to a lease of one second. */
const RENEW_EVERY_MS = 250;

/**
 * Keeps the drive running on behalf of this page, for as long as this page runs: closed, frozen or throttled in the
 * background it falls silent, and the server halts the drive. On purpose not in a worker, which would go on.
 * @param lease what the server told this page alone when it started the recording
 */
export function holdDrive(lease: string): void {
  const timer = setInterval(renew, RENEW_EVERY_MS);
  void renew();

  async function renew(): Promise<void> {
    const { phase } = session.value;
    if (phase === 'done' || phase === 'failed' || phase === 'idle') clearInterval(timer);
    else await postBody('/api/recordings/current/lease', { lease }).catch(() => clearInterval(timer));
  }
}
