import { randomUUID } from 'node:crypto';
import type { HostClock } from '../../daq/index.js';
import { requestError } from './errors.js';

/** How long a page may stay silent while a drive runs on its behalf. */
export const LEASE_MS = 1000;

/** Shows that a drive's page is there: it alone has the token, and renews the lease with it. */
export interface DriveLease {
  readonly token: string;
  /** Whether the page was heard within the last second. */
  isHeld(): boolean;
  /** @throws requestError 'not-the-holder', 'lease-lost' */
  renew(token: string): void;
}

/**
 * A lease of one second on the drive, for the page that starts it. The drive's heartbeats ask whether it is held, so a
 * page that is closed, frozen or sent to the background halts the drive within a heartbeat of the lease's end. A lease
 * that was lost stays lost: nothing starts a drive by coming back.
 * @param clock the host's own time
 */
export function driveLease(clock: HostClock): DriveLease {
  const token = randomUUID();
  let renewed_ms = clock.now_ms();
  let isLost = false;
  const isHeld = () => {
    isLost ||= clock.now_ms() - renewed_ms > LEASE_MS;
    return !isLost;
  };
  return {
    token,
    isHeld,
    renew(given) {
      if (given !== token)
        throw requestError(409, {
          code: 'not-the-holder',
          found: 'a page that did not start this recording',
          wanted: 'the page that did; any page may stop it',
          where: 'body.lease',
        });
      if (!isHeld())
        throw requestError(409, {
          code: 'lease-lost',
          found: `more than ${LEASE_MS / 1000} s without a word from this page, so the drive was halted`,
          wanted: 'a page that stays open and in front while the drive turns',
          where: 'body.lease',
        });
      renewed_ms = clock.now_ms();
    },
  };
}
