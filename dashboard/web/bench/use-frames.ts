import { useLayoutEffect } from 'preact/hooks';
import { lessMotion } from '../theme.js';

const PERIOD_MS = 1000 / 30;
/** For people who asked for less movement. */
const CALM_PERIOD_MS = 500;

/** Draws at most 30 times a second while the page is seen; `inputs` begin it anew. */
export function useFrames(draw: () => void, inputs: readonly unknown[]): void {
  useLayoutEffect(() => {
    const period_ms = lessMotion.value ? CALM_PERIOD_MS : PERIOD_MS;
    let drawnAt = Number.NEGATIVE_INFINITY;
    let request = requestAnimationFrame(frame);
    function frame(now: number) {
      request = requestAnimationFrame(frame);
      // Half a frame early counts, or every other frame of a 60 Hz screen would be waited out.
      if (now - drawnAt < period_ms - 8) return;
      drawnAt = now;
      draw();
    }
    return () => cancelAnimationFrame(request);
  }, inputs);
}
