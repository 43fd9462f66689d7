/**
 * Colours for builds that stand out from their ground.
 * Source of the set: Okabe & Ito, "Color Universal Design" (2008), made for colour-vision deficiency;
 * black is left to the reference build.
 */
export const okabeIto = [
  '#0072B2',
  '#D55E00',
  '#009E73',
  '#CC79A7',
  '#56B4E9',
  '#E69F00',
  '#F0E442',
] as const;

/** Least contrast of a line against its ground. Source: WCAG 2.2, success criterion 1.4.11. */
export const LEAST_CONTRAST = 3;

const palettes = new Map<string, readonly string[]>();

/**
 * The set, each colour darkened (light ground) or lightened (dark ground) just until its contrast suffices; mixed once
 * for a ground.
 * @param ground `#rrggbb`
 */
export function paletteOn(ground: string): readonly string[] {
  const palette = palettes.get(ground) ?? okabeIto.map((colour) => untilContrast(colour, ground));
  palettes.set(ground, palette);
  return palette;
}

/** Moves a colour away from its ground in small steps until the contrast suffices. */
export function untilContrast(colour: string, ground: string, least = LEAST_CONTRAST): string {
  const target = luminance(ground) > 0.18 ? 0 : 255;
  for (let share = 0; share <= 1; share += 0.02) {
    const moved = toHex(channels(colour).map((value) => value + (target - value) * share));
    if (contrast(moved, ground) >= least) return moved;
  }
  return target === 0 ? '#000000' : '#ffffff';
}

/** Contrast ratio of two colours, 1 to 21. Source: WCAG 2.2, definition of contrast ratio. */
export function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

/** Relative luminance, 0 to 1. Source: WCAG 2.2, definition of relative luminance (sRGB). */
function luminance(colour: string): number {
  const [red, green, blue] = channels(colour).map((value) => {
    const share = value / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Red, green and blue of a colour, 0 to 255 each. @param colour as `#rrggbb` */
export function channels(colour: string): number[] {
  return [1, 3, 5].map((start) => Number.parseInt(colour.slice(start, start + 2), 16));
}

function toHex(values: readonly number[]): string {
  return `#${values.map((value) => Math.round(value).toString(16).padStart(2, '0')).join('')}`;
}

/** The colour with an opacity, for fills and faint points. */
export function withOpacity(colour: string, opacity: number): string {
  return `rgba(${channels(colour).join(', ')}, ${opacity})`;
}
