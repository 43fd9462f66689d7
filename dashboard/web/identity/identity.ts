import { paletteOn } from './palette.js';

/** Plotly's names for the dash and the marker; swatches draw the same ones. */
export type Dash = 'solid' | 'dash' | 'dot' | 'dashdot' | 'longdash';
export type Marker = 'circle' | 'square' | 'diamond' | 'triangle-up' | 'cross' | 'triangle-down';

/** How one build looks on every picture and in every table. */
export interface Identity {
  readonly colour: string;
  readonly dash: Dash;
  readonly marker: Marker;
}

const dashes: readonly Dash[] = ['solid', 'dash', 'dot', 'dashdot', 'longdash'];
const markers: readonly Marker[] = ['circle', 'square', 'diamond', 'triangle-up', 'cross', 'triangle-down'];

/**
 * Colour, dash and marker of a build.
 * They follow from its place among all builds of the logbook alone, so they stay when the selection changes.
 * 7 colours, 5 dashes and 6 markers run round at their own lengths: 210 builds before two are alike.
 * @param ordinal the build's place in the logbook, from 0, oldest first
 * @param colours the page's ink and ground, `#rrggbb`
 * @param isReference the reference build is drawn in ink; dash and marker remain its own
 */
export function identityOf(
  ordinal: number,
  colours: { readonly ink: string; readonly ground: string },
  isReference = false,
): Identity {
  const palette = paletteOn(colours.ground);
  return {
    colour: isReference ? colours.ink : palette[ordinal % palette.length]!,
    dash: dashes[ordinal % dashes.length]!,
    marker: markers[ordinal % markers.length]!,
  };
}

/** SVG dash arrays that come out symmetrical on a swatch's line of 30 pixels. */
export const dashArrays: Readonly<Record<Dash, string>> = {
  solid: 'none',
  dash: '6 6',
  dot: '2 2.667',
  dashdot: '8 3 2 4 2 3 8 0',
  longdash: '12 6',
};
