import type { CurvePoint, Estimate } from '../../analysis/index.js';
import type { CheckAnswer, CompareAnswer, OverlayKind } from '../answers/index.js';
import type { DisplayUnits } from '../wording/index.js';

/** Everything that a report says: one comparison with what it rests on. */
export interface ReportFacts {
  /** ISO 8601, as all times here; their days are told as they are written. */
  readonly madeAt: string;
  readonly version: string;
  /** Of the analysis; the same recordings with the same version give the same numbers. */
  readonly methodVersion: string;
  readonly units: DisplayUnits;
  /** What the picture shows. */
  readonly kind: OverlayKind;
  /** Temperature that the picture's damping is brought to; null as measured. */
  readonly at_degC: number | null;
  /** Null for one build alone. */
  readonly answer: CompareAnswer | null;
  /** The reference first. */
  readonly builds: readonly ReportBuild[];
  readonly rigs: readonly ReportRig[];
}

export interface ReportBuild {
  readonly name: string;
  readonly shock: string;
  /** Name of the build it was made from; null for a first one. */
  readonly parent: string | null;
  readonly change: string;
  /** "Oil: 350 cSt at 25 °C", in words. */
  readonly parts: readonly string[];
  readonly look: ReportLook;
  readonly curve: readonly CurvePoint[];
  /** Measured points behind the curve. */
  readonly points: readonly { readonly velocity_m_per_s: number; readonly force_N: number }[];
  readonly drag_N: Estimate | null;
  readonly breakaway_N: Estimate | null;
  readonly recordings: readonly ReportRecording[];
  /** What the analysis warns of, in words. */
  readonly warnings: readonly string[];
}

export interface ReportRecording {
  readonly remount: number;
  readonly startedAt: string;
  readonly procedure: string;
  readonly temperature_degC: number | null;
  readonly rig: string;
  readonly simulated: boolean;
}

/** How a build looks in the picture and in tables. */
export interface ReportLook {
  /** `#rrggbb`, with contrast enough on white. */
  readonly colour: string;
  /** SVG dash array. */
  readonly dashes: string;
  /** SVG path of the marker about the point (16, 7), up to 5 units away. */
  readonly marker: string;
}

export interface ReportRig {
  readonly name: string;
  readonly calibration: { readonly version: number; readonly madeAt: string } | null;
  readonly check: {
    readonly standard: string;
    readonly answer: CheckAnswer | null;
    readonly measuredAt: string | null;
  } | null;
}
