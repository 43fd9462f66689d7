import type { CurvePoint } from '../../analysis/index.js';
import { displayScale, formatChosen, overlayName } from '../wording/index.js';
import type { ReportBuild, ReportFacts, ReportLook } from './facts.js';
import { html, type Markup } from './markup.js';
import { spreadApart } from './spread-apart.js';
import { ticksWithin } from './ticks.js';

const LINE_PX = 15;
/** A number on an axis about every so far. */
const TICK_ACROSS_PX = 70;
const TICK_UP_PX = 45;
const markersASide = 4;

type Place = readonly [x: number, y: number];

/** Where things are in the drawing; names stand at the ends of lines where there is room beside the plot. */
interface Layout {
  readonly name: 'wide' | 'narrow';
  readonly width: number;
  readonly plot: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
}

/** For paper, and for screens as wide as it. */
const wide: Layout = { name: 'wide', width: 720, plot: { left: 46, right: 570, top: 8, bottom: 242 } };
/** For a phone: as large letters on half the width, names below. */
const narrow: Layout = { name: 'narrow', width: 320, plot: { left: 44, right: 314, top: 8, bottom: 222 } };

type PictureFacts = Pick<ReportFacts, 'builds' | 'kind' | 'units'>;

/**
 * Force against velocity as SVG: points faint behind, bands, lines with their own dash and marker, and their names.
 * It has no colours that matter and nothing outside of itself. Twice, wide and narrow: the sheet's style shows one.
 */
export function reportPicture(facts: PictureFacts): Markup {
  if (facts.builds.every(({ curve }) => curve.length === 0))
    return html`<p>No speed was measured that could be drawn.</p>`;
  return html`${[wide, narrow].map((layout) => drawing(facts, layout))}`;
}

function drawing({ builds, kind, units }: PictureFacts, { name: layout, width, plot }: Layout): Markup {
  const [velocity, force] = [displayScale('velocity', units), displayScale('force', units)];
  const curves = builds.flatMap(({ curve }) => curve);
  const x = scaleOf(
    curves.map(({ velocity_m_per_s }) => velocity_m_per_s * velocity.factor),
    [plot.left, plot.right],
    TICK_ACROSS_PX,
  );
  const y = scaleOf(
    [0, ...curves.flatMap(({ low95_N, high95_N }) => [low95_N * force.factor, high95_N * force.factor])],
    [plot.bottom, plot.top],
    TICK_UP_PX,
  );
  const place = (velocity_m_per_s: number, force_N: number): Place => [
    x.at(velocity_m_per_s * velocity.factor),
    y.at(force_N * force.factor),
  ];
  const isInside = ([x, y]: Place) => x >= plot.left && x <= plot.right && y >= plot.top && y <= plot.bottom;
  const axisTitle = plot.bottom + 32;
  const below = axisTitle + 6;
  const [namesAt, height] =
    layout === 'wide' ? [plot.right + 6, below] : [plot.left, below + LINE_PX * builds.length];
  const labels =
    layout === 'wide'
      ? spreadApart(
          builds.map(({ curve }) => {
            const last = curve.at(-1);
            return last ? place(last.velocity_m_per_s, last.force_N)[1] : plot.top;
          }),
          LINE_PX,
          [plot.top, plot.bottom],
        )
      : builds.map((_, index) => below + LINE_PX * (index + 0.5));
  return html`<svg class="picture ${layout}" viewBox="0 0 ${width} ${height}" role="img" aria-label="${overlayName(kind)} against velocity">
<g class="grid">
${x.ticks.map((tick) => html`<path d="M${px(x.at(tick))} ${plot.top}V${plot.bottom}"${zero(tick)}/><text x="${px(x.at(tick))}" y="${plot.bottom + 15}" text-anchor="middle">${formatChosen(tick)}</text>`)}
${y.ticks.map((tick) => html`<path d="M${plot.left} ${px(y.at(tick))}H${plot.right}"${zero(tick)}/><text x="${plot.left - 6}" y="${px(y.at(tick) + 4)}" text-anchor="end">${formatChosen(tick)}</text>`)}
</g>
<text x="${(plot.left + plot.right) / 2}" y="${axisTitle}" text-anchor="middle">Velocity, ${velocity.unit} (rebound left, compression right)</text>
<text transform="translate(11 ${(plot.top + plot.bottom) / 2}) rotate(-90)" text-anchor="middle">${overlayName(kind)}, ${force.unit}</text>
${builds.map(({ look, points }) => cloud(look, points.map((point) => place(point.velocity_m_per_s, point.force_N)).filter(isInside)))}
${builds.map((build) => sidesOf(build).map((side) => band(build.look, side, place)))}
${builds.map((build) =>
  sidesOf(build).map((side) =>
    line(
      build.look,
      side.map((point) => place(point.velocity_m_per_s, point.force_N)),
    ),
  ),
)}
${builds.map(({ name, look }, index) => html`<g transform="translate(${namesAt} ${px(labels[index]! - 7)})">${sample(look)}</g><text x="${namesAt + 38}" y="${px(labels[index]! + 4)}">${name}</text>`)}
</svg>`;
}

/** A piece of a build's line with its marker, 32 by 14: how it is recognised in tables. */
export const sample = ({ colour, dashes, marker }: ReportLook): Markup =>
  html`<path d="M1 7H31" fill="none" stroke="${colour}" stroke-width="1.8" stroke-dasharray="${dashes}"/><path d="${marker}" fill="${colour}"/>`;

function scaleOf(values: readonly number[], [from, to]: readonly [number, number], tick_px: number) {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = (high - low) * 0.04 || 1;
  const [start, end] = [low - room, high + room];
  return {
    at: (value: number) => from + ((value - start) / (end - start)) * (to - from),
    ticks: ticksWithin(start, end, Math.abs(to - from) / tick_px).values,
  };
}

const zero = (tick: number): Markup => (tick === 0 ? html` class="zero"` : html``);

/** Both sides of zero apart, as drag changes sign there. */
const sidesOf = ({ curve }: ReportBuild): CurvePoint[][] =>
  [-1, 1]
    .map((sign) => curve.filter(({ velocity_m_per_s }) => Math.sign(velocity_m_per_s) === sign))
    .filter((side) => side.length > 0);

/** Dots as strokes without length: one element for all of them. */
const cloud = ({ colour }: ReportLook, places: readonly Place[]): Markup | null =>
  places.length === 0
    ? null
    : html`<path d="${places.map(([x, y]) => `M${px(x)} ${px(y)}h0`).join('')}" stroke="${colour}" stroke-opacity="0.25" stroke-width="1.8" stroke-linecap="round"/>`;

function band(
  { colour }: ReportLook,
  side: readonly CurvePoint[],
  place: (velocity_m_per_s: number, force_N: number) => Place,
): Markup {
  const outline = [
    ...side.map((point) => place(point.velocity_m_per_s, point.high95_N)),
    ...side.toReversed().map((point) => place(point.velocity_m_per_s, point.low95_N)),
  ];
  return html`<path d="${pathOf(outline)}Z" fill="${colour}" fill-opacity="0.18"/>`;
}

function line({ colour, dashes, marker }: ReportLook, places: readonly Place[]): Markup {
  const every = Math.max(1, Math.round(places.length / markersASide));
  const marked = places.filter((_, i) => i % every === Math.floor(every / 2));
  return html`<path d="${pathOf(places)}" fill="none" stroke="${colour}" stroke-width="1.8" stroke-dasharray="${dashes}"/>
${marked.map(([x, y]) => html`<path transform="translate(${px(x - 16)} ${px(y - 7)})" d="${marker}" fill="${colour}"/>`)}`;
}

const pathOf = (places: readonly Place[]): string =>
  places.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${px(x)} ${px(y)}`).join('');

/** A tenth of a pixel is finer than any printer of these. */
const px = (value: number): string => String(Math.round(value * 10) / 10);
