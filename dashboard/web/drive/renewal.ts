import { postBody, Refused } from '../api.js';

/** Four to a lease of one second. */
export const RENEW_EVERY_MS = 250;

/** From the page to the worker: what to hold, then signs of life. */
export type HoldMessage = { readonly path: string; readonly lease: string } | { readonly isInFront: boolean };

/** From the worker to the page. */
export type HoldAnswer = 'renewing' | 'over';

/** While a rig is in one of these, a drive may turn or be about to. */
const moving = ['connecting', 'reading', 'recording', 'stopping'];

/** Renews the lease. @returns false once the drive has stopped or is not this page's any more */
export async function renewed(path: string, lease: string): Promise<boolean> {
  try {
    const { phase } = await postBody<{ readonly phase: string }>(path, { lease });
    return moving.includes(phase);
  } catch (thrown) {
    return thrown instanceof Refused && thrown.detail.code === 'unreachable';
  }
}
