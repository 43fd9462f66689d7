import type { Marker } from './identity.js';

/** About which point of a swatch its marker lies, and how wide it is. */
export const MARKER_AT = [16, 7] as const;
export const MARKER_SIZE = 8;

/** SVG paths of the markers about that point. */
export const markerPaths: Readonly<Record<Marker, string>> = {
  circle: 'M12 7a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z',
  square: 'M12.5 3.5h7v7h-7z',
  diamond: 'M16 2l5 5-5 5-5-5z',
  'triangle-up': 'M16 2.2l4.6 8h-9.2z',
  cross: 'M14.5 2.5h3v3h3v3h-3v3h-3v-3h-3v-3h3z',
  'triangle-down': 'M16 11.8l4.6-8h-9.2z',
};
