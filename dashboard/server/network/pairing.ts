import { createHash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';
import type { HostClock } from '../../../daq/index.js';
import { requestError } from '../errors.js';

/** Lets people into a server over the network who can read what its machine shows. */
export interface Pairing {
  /** Sees to it that a code is valid and shown; called when somebody wants in. */
  invite(): void;
  /**
   * @param code as it was typed: case, spaces and dashes do not count
   * @returns a secret for that browser, in exchange for the code, which is then spent
   * @throws requestError 'wrong-code', 'too-many-tries'
   */
  redeem(code: string): string;
  /** Whether a secret was given out here and is still good. */
  isPaired(secret: string | undefined): boolean;
}

export interface PairingOptions {
  readonly clock: HostClock;
  /** Shows a code on this machine. */
  readonly show: (code: string) => void;
  /** False lets anybody try for ever: for the test that shows why not. */
  readonly countsTries?: boolean;
  readonly makeCode?: () => string;
}

const minute_ms = 60_000;
export const CODE_GOOD_FOR_MS = 10 * minute_ms;
/** A long sitting. */
export const SECRET_GOOD_FOR_MS = 4 * 60 * minute_ms;
export const MOST_WRONG_TRIES = 5;
const LOCKED_FOR_MS = minute_ms;

/** Without letters and digits that are mistaken for each other. */
const letters = '23456789ABCDEFGHJKMNPQRSTUVWXYZ';
const CODE_LENGTH = 6;

/**
 * One code at a time for everybody, so that more machines do not mean more tries. Five wrong ones spend it, and for a
 * minute there is no other: of 31^6, some 900 million codes, an attacker who never sleeps tries 7200 a day.
 */
export function pairing({ clock, show, countsTries = true, makeCode = drawCode }: PairingOptions): Pairing {
  let code: { readonly text: string; readonly until_ms: number } | null = null;
  let wrongTries = 0;
  let lockedUntil_ms = Number.NEGATIVE_INFINITY;
  const secrets = new Map<string, number>();

  function invite(): void {
    const now_ms = clock.now_ms();
    if (now_ms < lockedUntil_ms || (code && now_ms < code.until_ms)) return;
    code = { text: makeCode(), until_ms: now_ms + CODE_GOOD_FOR_MS };
    wrongTries = 0;
    show(code.text);
  }

  function countWrongTry(): void {
    if (!countsTries || ++wrongTries < MOST_WRONG_TRIES) return;
    code = null;
    wrongTries = 0;
    lockedUntil_ms = clock.now_ms() + LOCKED_FOR_MS;
  }

  return {
    invite,
    redeem(given) {
      const now_ms = clock.now_ms();
      if (now_ms < lockedUntil_ms)
        throw requestError(429, {
          code: 'too-many-tries',
          found: `${MOST_WRONG_TRIES} wrong codes`,
          wanted: 'a minute without a try, and then the new code',
          where: 'body.code',
        });
      if (!code || now_ms >= code.until_ms || !areEqual(normal(given), normal(code.text))) {
        countWrongTry();
        throw requestError(403, {
          code: 'wrong-code',
          found: 'another code, or one that is spent',
          wanted: 'the code that the machine at the rig shows now',
          where: 'body.code',
        });
      }
      code = null;
      const secret = randomBytes(32).toString('base64url');
      secrets.set(digest(secret), now_ms + SECRET_GOOD_FOR_MS);
      return secret;
    },
    isPaired(secret) {
      if (secret === undefined) return false;
      const until_ms = secrets.get(digest(secret));
      if (until_ms === undefined || clock.now_ms() < until_ms) return until_ms !== undefined;
      secrets.delete(digest(secret));
      return false;
    },
  };
}

function drawCode(): string {
  return Array.from({ length: CODE_LENGTH }, () => letters[randomInt(letters.length)]).join('');
}

const normal = (code: string) => code.toUpperCase().replace(/[\s-]/g, '');

const digest = (text: string) => createHash('sha256').update(text).digest('base64url');

/** Takes as long for a code that is nearly right as for any other. */
const areEqual = (a: string, b: string) => timingSafeEqual(Buffer.from(digest(a)), Buffer.from(digest(b)));
