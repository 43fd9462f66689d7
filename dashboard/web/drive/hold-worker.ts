/** Runs beside the page: renews its hold on the drive, also while the page is busy. */
import { type HoldAnswer, type HoldMessage, RENEW_EVERY_MS, renewed } from './renewal.js';

/** A page without a sign of life for so long hangs: its stop button does nothing. Judgement, no source. */
const BUSY_AT_MOST_MS = 3000;

let lastSign_ms = performance.now();

addEventListener('message', ({ data }: MessageEvent<HoldMessage>) => {
  if ('isInFront' in data) lastSign_ms = data.isInFront ? performance.now() : Number.NEGATIVE_INFINITY;
  else hold(data.path, data.lease);
});

function hold(path: string, lease: string): void {
  const answer = (said: HoldAnswer) => postMessage(said);
  answer('renewing');
  setInterval(async () => {
    if (performance.now() - lastSign_ms > BUSY_AT_MOST_MS) return;
    if (!(await renewed(path, lease))) answer('over');
  }, RENEW_EVERY_MS);
}
