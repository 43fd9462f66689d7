import { useMemo, useRef } from 'preact/hooks';
import { ticksWithin } from '../../report/index.js';
import { type DisplayScale, formatDecimals, formatNumber } from '../../wording/index.js';
import { type Theme, theme } from '../theme.js';
import { beginFrame, calmRange, type Frame, gridLine } from './canvas.js';
import type { Envelope } from './envelope.js';
import { useFrames } from './use-frames.js';

const LEFT = 52;
const BOTTOM = 22;
/** Digits that change faster cannot be read. */
const READ_EVERY_MS = 200;

/** The last seconds of one channel, and its newest value. */
export function LiveTrace(props: {
  readonly title: string;
  /** Unit, and the factor from the trace's own to it. */
  readonly shown: DisplayScale;
  readonly trace: Envelope;
}) {
  const { title, trace } = props;
  const { unit, factor } = props.shown;
  const canvas = useRef<HTMLCanvasElement>(null);
  const reading = useRef<HTMLOutputElement>(null);
  const range = useMemo(calmRange, [trace, factor]);
  const readAt = useRef(0);
  useFrames(() => {
    const now = performance.now();
    if (now - readAt.current > READ_EVERY_MS) {
      readAt.current = now;
      reading.current!.textContent =
        trace.last === null ? '–' : `${formatNumber(trace.last * factor)} ${unit}`;
    }
    draw(beginFrame(canvas.current!), trace, factor, theme.value, range);
  }, [trace, factor]);
  return (
    <figure class="live-picture">
      <figcaption>
        <span>
          {title}, {unit}
        </span>
        <output ref={reading} class="number" aria-live="off" />
      </figcaption>
      <canvas
        ref={canvas}
        class="trace"
        role="img"
        aria-label={`${title} over the last ${trace.duration_s} seconds`}
      />
    </figure>
  );
}

function draw(
  frame: Frame,
  trace: Envelope,
  factor: number,
  colours: Theme,
  rangeFor: (low: number, high: number) => readonly [number, number],
): void {
  const { context, width, height } = frame;
  let [lowest, highest] = [0, 0];
  trace.trace((_, value) => {
    if (value < lowest) lowest = value;
    if (value > highest) highest = value;
  });
  const [low, high] = rangeFor(lowest * factor, highest * factor);
  const end_s = Math.max(trace.duration_s, trace.end_s);
  const x = (time_s: number) => LEFT + (1 - (end_s - time_s) / trace.duration_s) * (width - LEFT);
  const y = (value: number) => ((high - value) / (high - low)) * (height - BOTTOM - 8) + 4;

  context.font = `12px ${colours.fontFamily}`;
  context.fillStyle = colours.faint;
  context.textBaseline = 'middle';
  context.textAlign = 'right';
  const { values, decimals } = ticksWithin(low, high, 4);
  for (const value of values) {
    gridLine(frame, [LEFT, y(value)], [width, y(value)], value === 0, colours);
    context.fillText(value === 0 ? '0' : formatDecimals(value, decimals), LEFT - 8, y(value));
  }
  context.textAlign = 'center';
  context.textBaseline = 'alphabetic';
  for (let second = Math.ceil((end_s - trace.duration_s) / 2) * 2; second <= end_s; second += 2) {
    const at = x(second);
    gridLine(frame, [at, height - BOTTOM], [at, 0], false, colours);
    if (at > LEFT + 12 && at < width - 12) context.fillText(`${second} s`, at, height - 6);
  }

  context.save();
  context.beginPath();
  context.rect(LEFT, 0, width - LEFT, height - BOTTOM);
  context.clip();
  context.strokeStyle = colours.ink;
  context.lineWidth = 1.5;
  context.lineJoin = 'bevel';
  context.beginPath();
  trace.trace((time_s, value) => context.lineTo(x(time_s), y(value * factor)));
  context.stroke();
  context.restore();
}
