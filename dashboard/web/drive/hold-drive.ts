import { type HoldAnswer, type HoldMessage, RENEW_EVERY_MS, renewed } from './renewal.js';

/**
 * Keeps the drive running on behalf of this page, while it is in front and alive. A worker renews the lease, since the
 * page may draw for longer than a lease of one second; the page gives it a sign of life, and it falls silent without.
 * Closed or frozen the page takes the worker with it; in the background it gives no sign. Then the server halts the
 * drive.
 * @param path where the lease is renewed
 * @param lease what the server told this page alone when it started the drive
 */
export function holdDrive(path: string, lease: string): void {
  const worker = new Worker(new URL('./hold-worker.ts', import.meta.url), { type: 'module' });
  const tell = (message: HoldMessage) => worker.postMessage(message);
  let isWorkerUp = false;
  worker.onmessage = ({ data }: MessageEvent<HoldAnswer>) => {
    if (data === 'over') end();
    else isWorkerUp = true;
  };
  const timer = setInterval(show, RENEW_EVERY_MS);
  document.addEventListener('visibilitychange', show);
  tell({ path, lease });
  show();

  function show(): void {
    const isInFront = document.visibilityState === 'visible';
    tell({ isInFront });
    // The worker's script is still on its way.
    if (isInFront && !isWorkerUp) void renewed(path, lease).then((isOn) => isOn || end());
  }

  function end(): void {
    clearInterval(timer);
    document.removeEventListener('visibilitychange', show);
    worker.terminate();
  }
}
