import type { CurvePoint, Estimate } from '../../../analysis/index.js';
import type { DragPart, OverlaidRecording } from '../../answers/index.js';
import type { ApiPoints } from '../../server/api.js';
import type { Identity } from '../identity/identity.js';

/** A chosen build as every picture and table takes it. */
export interface PicturedBuild {
  readonly id: number;
  readonly name: string;
  readonly identity: Identity;
  /** Chosen, and left out of the pictures. */
  readonly isHidden: boolean;
  /** Force against signed velocity over all remounts shown: drag plus damping, or one of them. */
  readonly total: readonly CurvePoint[];
  /** What it has more than the reference, counted along the motion; empty for the reference. */
  readonly difference: readonly CurvePoint[];
  readonly drag_N: Estimate | null;
  readonly breakaway_N: Estimate | null;
  readonly dragAlong: readonly DragPart[];
  readonly remounts: readonly PicturedRemount[];
  /** The same recordings as answers take them. */
  readonly recordings: readonly OverlaidRecording[];
}

/** One recording of a chosen build. */
export interface PicturedRemount {
  readonly recordingId: number;
  readonly remount: number;
  readonly drag_N: number | null;
  readonly breakaway_N: number | null;
  /** All that was measured. */
  readonly points: ApiPoints;
  /** What belongs behind the curve, equal lengths. */
  readonly behind: { readonly velocity_m_per_s: readonly number[]; readonly force_N: readonly number[] };
}

export const visible = (builds: readonly PicturedBuild[]): PicturedBuild[] =>
  builds.filter(({ isHidden }) => !isHidden);
