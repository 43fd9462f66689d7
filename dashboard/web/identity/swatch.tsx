import { dashArrays, type Identity } from './identity.js';
import { markerPaths } from './markers.js';

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
