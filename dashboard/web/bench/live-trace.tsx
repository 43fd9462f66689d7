import { useLayoutEffect, useRef } from 'preact/hooks';
import { formatDecimals, formatNumber } from '../../wording/index.js';
import { lessMotion, type Theme, theme } from '../theme.js';
import type { TraceWindow } from './trace-window.js';

const HEIGHT = 150;
const LEFT = 52;
const BOTTOM = 22;

/** The last seconds of one channel on a small canvas, at most 30 times a second. */
export function LiveTrace(props: {
  readonly title: string;
  readonly unit: string;
  readonly trace: TraceWindow;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const reading = useRef<HTMLOutputElement>(null);
  useLayoutEffect(() => {
    const period_ms = lessMotion.value ? 500 : 33;
    const scale = verticalScale();
    let drawnAt = 0;
    let request = requestAnimationFrame(frame);
    function frame(now: number) {
      request = requestAnimationFrame(frame);
      // Half a frame early counts, or every other frame of a 60 Hz screen would be waited out.
      if (now - drawnAt < period_ms - 8) return;
      drawnAt = now;
      const last = props.trace.values.at(-1);
      reading.current!.textContent = last === undefined ? '–' : `${formatNumber(last)} ${props.unit}`;
      draw(canvas.current!, props.trace, theme.value, scale);
    }
    return () => cancelAnimationFrame(request);
  }, [props.trace, props.unit]);
  return (
    <figure class="live-trace">
      <figcaption>
        <span>
          {props.title}, {props.unit}
        </span>
        <output ref={reading} class="number" aria-live="off" />
      </figcaption>
      <canvas
        ref={canvas}
        style={{ height: `${HEIGHT}px` }}
        role="img"
        aria-label={`${props.title} over the last ${props.trace.duration_s} seconds`}
      />
    </figure>
  );
}

/** A range that grows with the trace at once and shrinks only when it is far too large, so that it stays calm. */
function verticalScale() {
  let range: [number, number] | null = null;
  return (values: readonly number[]): [number, number] => {
    let [low, high] = [Math.min(0, values[0] ?? 0), Math.max(0, values[0] ?? 0)];
    for (const value of values) {
      if (value < low) low = value;
      if (value > high) high = value;
    }
    const pad = 0.1 * (high - low || 1);
    const fits =
      range && range[0] <= low && range[1] >= high && range[1] - range[0] < 3 * (high - low + 2 * pad);
    if (!fits) range = [low - pad, high + pad];
    return range!;
  };
}

function draw(
  canvas: HTMLCanvasElement,
  trace: TraceWindow,
  colours: Theme,
  scale: (values: readonly number[]) => [number, number],
): void {
  const ratio = devicePixelRatio;
  const width = canvas.clientWidth;
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(HEIGHT * ratio)) canvas.height = Math.round(HEIGHT * ratio);
  const context = canvas.getContext('2d')!;
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.clearRect(0, 0, width, HEIGHT);

  const [low, high] = scale(trace.values);
  const end_s = Math.max(trace.duration_s, trace.time_s.at(-1) ?? 0);
  const x = (time_s: number) => LEFT + (1 - (end_s - time_s) / trace.duration_s) * (width - LEFT);
  const y = (value: number) => ((high - value) / (high - low)) * (HEIGHT - BOTTOM - 8) + 4;
  axes(context, width, x, y, [low, high], end_s, trace.duration_s, colours);

  context.save();
  context.beginPath();
  context.rect(LEFT, 0, width - LEFT, HEIGHT - BOTTOM);
  context.clip();
  context.strokeStyle = colours.ink;
  context.lineWidth = 1.5;
  context.lineJoin = 'round';
  context.beginPath();
  for (let i = 0; i < trace.time_s.length; i++) context.lineTo(x(trace.time_s[i]!), y(trace.values[i]!));
  context.stroke();
  context.restore();
}

function axes(
  context: CanvasRenderingContext2D,
  width: number,
  x: (time_s: number) => number,
  y: (value: number) => number,
  [low, high]: readonly [number, number],
  end_s: number,
  duration_s: number,
  colours: Theme,
): void {
  context.font = `12px ${colours.fontFamily}`;
  context.fillStyle = colours.faint;
  context.textBaseline = 'middle';
  context.textAlign = 'right';
  const step = roundStep((high - low) / 4);
  const decimals = Math.max(0, -Math.floor(Math.log10(step)));
  for (let value = Math.ceil(low / step) * step; value <= high; value += step) {
    const isZero = Math.abs(value) < step / 2;
    line(context, LEFT, y(value), width, y(value), isZero ? colours.edge : colours.rule, isZero ? 1.5 : 1);
    context.fillText(isZero ? '0' : formatDecimals(value, decimals), LEFT - 8, y(value));
  }
  context.textAlign = 'center';
  context.textBaseline = 'alphabetic';
  for (let second = Math.ceil((end_s - duration_s) / 2) * 2; second <= end_s; second += 2) {
    const at = x(second);
    line(context, at, HEIGHT - BOTTOM, at, 0, colours.rule, 1);
    if (at > LEFT + 12 && at < width - 12) context.fillText(`${second} s`, at, HEIGHT - 6);
  }
}

function line(
  context: CanvasRenderingContext2D,
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  colour: string,
  thickness: number,
): void {
  context.strokeStyle = colour;
  context.lineWidth = thickness;
  context.beginPath();
  context.moveTo(Math.round(x1) + 0.5, Math.round(y1) + 0.5);
  context.lineTo(Math.round(x2) + 0.5, Math.round(y2) + 0.5);
  context.stroke();
}

/** The next of 1, 2, 5 times a power of ten. */
export function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return power * ([1, 2, 5, 10].find((digit) => digit * power >= least) ?? 10);
}
