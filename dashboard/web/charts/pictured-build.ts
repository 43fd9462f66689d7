import type { CurvePoint, Estimate } from '../../../analysis/index.js';
import type { ApiPoints } from '../../server/api.js';
import type { Identity } from '../identity/identity.js';

/** A chosen build as every picture and table takes it. */
export interface PicturedBuild {
  readonly id: number;
  readonly name: string;
  readonly identity: Identity;
  /** Drag plus damping against signed velocity, over all remounts shown. */
  readonly total: readonly CurvePoint[];
  readonly drag_N: Estimate | null;
  readonly breakaway_N: Estimate | null;
  readonly remounts: readonly PicturedRemount[];
}

/** One recording of a chosen build. */
export interface PicturedRemount {
  readonly recordingId: number;
  readonly remount: number;
  readonly drag_N: number | null;
  readonly breakaway_N: number | null;
  readonly points: ApiPoints;
}
