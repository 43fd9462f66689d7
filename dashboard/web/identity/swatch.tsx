import { dashArrays, type Identity, type Marker } from './identity.js';

/** A short piece of a build's line with its marker: how a build is recognised in text and tables. */
export function Swatch({ identity }: { readonly identity: Identity }) {
  return (
    <svg class="swatch" width="32" height="14" viewBox="0 0 32 14" aria-hidden="true">
      <line
        x1="1"
        x2="31"
        y1="7"
        y2="7"
        stroke={identity.colour}
        stroke-width="2"
        stroke-dasharray={dashArrays[identity.dash]}
      />
      <path d={markerPaths[identity.marker]} fill={identity.colour} />
    </svg>
  );
}

const markerPaths: Readonly<Record<Marker, string>> = {
  circle: 'M12 7a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z',
  square: 'M12.5 3.5h7v7h-7z',
  diamond: 'M16 2l5 5-5 5-5-5z',
  'triangle-up': 'M16 2.2l4.6 8h-9.2z',
  cross: 'M14.5 2.5h3v3h3v3h-3v3h-3v-3h-3v-3h3z',
  'triangle-down': 'M16 11.8l4.6-8h-9.2z',
};
