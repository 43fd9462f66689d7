import { useMemo, useRef } from 'preact/hooks';
import { ticksWithin } from '../../report/index.js';
import { formatDecimals } from '../../wording/index.js';
import { scaled } from '../charts/axes.js';
import { type Scales, scalesOf } from '../charts/setting.js';
import { type Theme, theme } from '../theme.js';
import { units } from '../units.js';
import { beginFrame, calmRange, type Frame, gridLine } from './canvas.js';
import type { Trail } from './trail.js';
import { useFrames } from './use-frames.js';

const LEFT = 54;
const BOTTOM = 36;
/** What came within this time is drawn in ink, the rest of the trail behind it fainter. */
const FRESH_S = 1;
/** Points nearer than this to the one before are not drawn, px: a line of 1 to 2 px looks the same without them. */
const LEAST_STEP = 2;

/** Force against velocity as it happens: compression to the right, force that pushes back upward. */
export function LiveTrail({ trail }: { readonly trail: Trail }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [across, up] = useMemo(() => [calmRange(), calmRange()] as const, [trail, units.value]);
  useFrames(
    () => draw(beginFrame(canvas.current!), trail, theme.value, scalesOf(units.value), across, up),
    [trail, units.value],
  );
  return (
    <figure class="live-picture">
      <figcaption>
        <span>Force against velocity, the last {trail.duration_s} s</span>
      </figcaption>
      <canvas
        ref={canvas}
        class="trail"
        role="img"
        aria-label="Force against velocity as it happens, compression to the right"
      />
    </figure>
  );
}

type RangeFor = (low: number, high: number) => readonly [number, number];

function draw(
  frame: Frame,
  trail: Trail,
  colours: Theme,
  scales: Scales,
  across: RangeFor,
  up: RangeFor,
): void {
  const { context, width, height } = frame;
  const { time_s, velocity_mm_per_s, force_N } = trail;
  const perMm = scales.velocity.factor * 1e-3;
  const perN = scales.force.factor;
  // As far to both sides, so that zero stays where it is.
  const fastest = Math.max(20, ...extremes(velocity_mm_per_s).map(Math.abs));
  const [slow, fast] = across(-fastest * perMm, fastest * perMm);
  const [low, high] = up(...scaled(extremes(force_N), perN));
  const x = (velocity: number) => LEFT + ((velocity - slow) / (fast - slow)) * (width - LEFT - 4);
  const y = (force: number) => 4 + ((high - force) / (high - low)) * (height - BOTTOM - 4);

  context.font = `12px ${colours.fontFamily}`;
  context.fillStyle = colours.faint;
  context.textAlign = 'right';
  context.textBaseline = 'middle';
  const forces = ticksWithin(low, high, 5);
  for (const force of forces.values) {
    gridLine(frame, [LEFT, y(force)], [width - 4, y(force)], force === 0, colours);
    context.fillText(tickText(force, forces.decimals), LEFT - 6, y(force));
  }
  context.textAlign = 'center';
  context.textBaseline = 'alphabetic';
  const speeds = ticksWithin(slow, fast, width < 420 ? 4 : 6);
  for (const speed of speeds.values) {
    gridLine(frame, [x(speed), 4], [x(speed), height - BOTTOM], speed === 0, colours);
    if (x(speed) < width - 18)
      context.fillText(tickText(speed, speeds.decimals), x(speed), height - BOTTOM + 15);
  }
  context.fillText(`velocity, ${scales.velocity.unit}`, LEFT + (width - LEFT) / 2, height - 4);
  context.save();
  context.translate(11, (height - BOTTOM) / 2);
  context.rotate(-Math.PI / 2);
  context.fillText(`force, ${scales.force.unit}`, 0, 0);
  context.restore();

  const freshFrom = (time_s.at(-1) ?? 0) - FRESH_S;
  const fresh = time_s.findIndex((time) => time >= freshFrom);
  context.lineJoin = 'bevel';
  const oldest = (time_s.at(-1) ?? 0) - trail.duration_s;
  const first = Math.max(
    0,
    time_s.findIndex((time) => time >= oldest),
  );
  for (const [from, to, colour, thickness] of [
    [first, fresh + 1, colours.edge, 1],
    [Math.max(0, fresh), time_s.length, colours.ink, 2],
  ] as const) {
    context.strokeStyle = colour;
    context.lineWidth = thickness;
    context.beginPath();
    let [lastX, lastY] = [Number.NaN, Number.NaN];
    for (let i = from; i < to; i++) {
      const [atX, atY] = [x(velocity_mm_per_s[i]! * perMm), y(force_N[i]! * perN)];
      if (Math.abs(atX - lastX) + Math.abs(atY - lastY) < LEAST_STEP) continue;
      context.lineTo(atX, atY);
      [lastX, lastY] = [atX, atY];
    }
    context.stroke();
  }
  const end = time_s.length - 1;
  if (end < 0) return;
  context.fillStyle = colours.ink;
  context.beginPath();
  context.arc(x(velocity_mm_per_s[end]! * perMm), y(force_N[end]! * perN), 4, 0, 2 * Math.PI);
  context.fill();
}

const tickText = (value: number, decimals: number): string =>
  value === 0 ? '0' : formatDecimals(value, decimals);

/** Lowest and highest, zero among them. */
function extremes(values: readonly number[]): [number, number] {
  let [low, high] = [0, 0];
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}
