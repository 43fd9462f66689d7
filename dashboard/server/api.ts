/** What travels between the server and the page: the shapes of the JSON. Types only; the page imports nothing else from here. */
import type {
  AnalysisRefusal,
  Comparison,
  CurvePoint,
  ProcedureName,
  RecordingAnalysis,
} from '../../analysis/index.js';
import type { FittedPart, PartChange, RigSpread } from '../../daq/index.js';
import type {
  HoleAnswer,
  LiveEstimate,
  MatchAnswer,
  OilAnswer,
  OilDocument,
  PistonEntry,
  SittingQuestionId,
} from '../answers/index.js';

import type { ApiCheck } from './api-care.js';
import type { ApiError } from './api-error.js';
import type { ApiPhoto } from './api-keeping.js';

export type * from './api-care.js';
export type * from './api-corner.js';
export type * from './api-keeping.js';
export type { ApiError };

export type RecordingState = 'recording' | 'complete' | 'interrupted' | 'discarded';

export interface ApiRecording {
  readonly id: number;
  readonly buildId: number;
  readonly remount: number;
  readonly state: RecordingState;
  /** Why it is in that state; empty where there is nothing to say. */
  readonly stateReason: string;
  readonly procedure: string;
  /** ISO 8601 in UTC. */
  readonly startedAt: string;
  readonly rig: string;
  /** Made by the simulated rig, not by a shock. */
  readonly simulated: boolean;
}

export interface ApiBuild {
  readonly id: number;
  readonly shockId: number;
  readonly name: string;
  readonly parentId: number | null;
  /** What separates it from its parent: in the owner's words, or from its parts where there are none. */
  readonly change: string;
  /** The owner's words alone. */
  readonly said: string;
  readonly note: string;
  /** All of its parts, inherited ones too. */
  readonly parts: readonly FittedPart[];
  /** Parts that are not as in its parent. */
  readonly changes: readonly PartChange[];
  readonly photos: readonly ApiPhoto[];
  readonly recordings: readonly ApiRecording[];
}

export interface ApiShock {
  readonly id: number;
  readonly name: string;
  readonly note: string;
}

export interface BuildsBody {
  readonly shocks: readonly ApiShock[];
  readonly builds: readonly ApiBuild[];
}

/** Measured points, thinned for drawing, in SI units, rounded to six digits; equal lengths. */
export interface ApiPoints {
  readonly time_s: readonly number[];
  readonly position_m: readonly number[];
  readonly velocity_m_per_s: readonly number[];
  readonly force_N: readonly number[];
  /** Measured minus fitted. */
  readonly residual_N: readonly number[];
  /** Drag and damping as measured: force less gas and inertia. */
  readonly frictional_N: readonly number[];
}

export interface ApiPicture {
  readonly points: ApiPoints;
  /** Drag plus damping against signed velocity, with a 95 % band. */
  readonly total: readonly CurvePoint[];
}

export type AnalysisBody =
  | {
      readonly ok: true;
      readonly recordingId: number;
      readonly analysis: RecordingAnalysis;
      readonly picture: ApiPicture | null;
    }
  | { readonly ok: false; readonly recordingId: number; readonly refusal: AnalysisRefusal };

export interface CompareBody {
  readonly before: { readonly buildId: number; readonly recordingIds: readonly number[] };
  readonly after: { readonly buildId: number; readonly recordingIds: readonly number[] };
  readonly comparison: Comparison;
}

/** How much remounts on the rig of some recordings differ, as it counts beside these: from other builds than theirs. */
export interface SpreadsBody {
  readonly recordingIds: readonly number[];
  /** Nothing for recordings of several rigs, and for imported ones. */
  readonly spreads: readonly RigSpread[];
}

/** The two builds of a question, with the recordings that were used. */
export interface AskedPair {
  readonly have: { readonly buildId: number; readonly recordingIds: readonly number[] };
  readonly target: { readonly buildId: number; readonly recordingIds: readonly number[] };
}

/** Both builds as they are now, of the kind that the answer is about. */
export interface PairCurves {
  readonly have: readonly CurvePoint[];
  readonly target: readonly CurvePoint[];
}

/** Whether a build meets a target. */
export interface MatchBody extends AskedPair {
  /** Of the target's force, allowed either way. */
  readonly percent: number;
  readonly answer: MatchAnswer;
}

/** Which oil brings a build to a target. */
export interface OilBody extends AskedPair {
  readonly percent: number;
  readonly curves: PairCurves;
  readonly answer: OilAnswer;
}

/** Which drill brings a build to a target. */
export interface HolesBody extends AskedPair {
  readonly percent: number;
  readonly curves: PairCurves;
  readonly answer: HoleAnswer;
}

/** What the owner has to build with. */
export interface ShelfBody {
  readonly oils: readonly OilDocument[];
  readonly pistons: readonly PistonEntry[];
  readonly drills_mm: readonly number[];
  readonly springs: readonly { readonly name: string; readonly rate_N_per_mm: number }[];
}

export interface ApiPort {
  readonly path: string;
  /** What the system says about it, for people. */
  readonly about: string;
}

export interface PortsBody {
  readonly ports: readonly ApiPort[];
  /** Builds that the simulated rig can play. */
  readonly practice: readonly string[];
  readonly procedures: readonly ApiProcedure[];
}

export interface ApiProcedure {
  readonly id: ProcedureChoiceId;
  readonly title: string;
  readonly about: string;
  /** How the shock is moved. */
  readonly name: ProcedureName;
  /** The software moves the shock, so the rig must have a drive. */
  readonly needsDrive: boolean;
  /** A drive must not do it at a rig with a load cell to lose. */
  readonly practiceOnly: boolean;
}

export type ProcedureChoiceId =
  | 'speed-ladder'
  | 'long-ladder'
  | 'by-hand'
  | 'slow-sweep'
  | 'slow-sweep-by-hand'
  | 'spring-pull-by-hand'
  | 'spring-pull'
  | 'travel-sweep-by-hand'
  | 'travel-sweep';

/** What is known of a rig before anything is measured on it. */
export interface ApiRig {
  readonly name: string;
  /** Null where it has none, and nothing can be recorded on it. */
  readonly calibration: { readonly version: number; readonly madeAt: string } | null;
  /** Whether it has a drive, as its set-up found; null where it was never set up. */
  readonly hasDrive: boolean | null;
  /** Null where it has no check standard. */
  readonly check: ApiCheck | null;
  /** Between remounts, from all results that were kept. */
  readonly spreads: readonly RigSpread[];
}

export interface RigsBody {
  /** The one that was recorded on last comes first. */
  readonly rigs: readonly ApiRig[];
}

/** What a series of recordings is for; it goes round with the session, so that every page knows what comes next. */
export interface AskedSeries {
  readonly question: SittingQuestionId;
  readonly wanted_percent: number;
  /** Of each build. */
  readonly remounts: number;
}

/** Where the recording on this server stands; one at a time. */
export type SessionBody =
  | { readonly phase: 'idle' }
  | { readonly phase: 'connecting'; readonly rig: string }
  | {
      readonly phase: 'recording' | 'stopping';
      readonly rig: string;
      readonly buildId: number;
      readonly recordingId: number | null;
      readonly elapsed_s: number;
      /** Null where the procedure lasts until somebody stops it. */
      readonly duration_s: number | null;
      readonly linesMissing: number;
      /** Crank speed asked for; null where none is. */
      readonly wanted_rev_per_s: number | null;
      /** As its position shows it; null before it made a stroke. */
      readonly crank_rev_per_s: number | null;
      readonly asked: AskedSeries | null;
    }
  | {
      readonly phase: 'done';
      readonly rig: string;
      readonly buildId: number;
      readonly recordingId: number;
      readonly state: RecordingState;
      readonly elapsed_s: number;
      readonly asked: AskedSeries | null;
      /** What failed on the way, where something did; what was captured before it is kept. */
      readonly trouble: ApiError | null;
    }
  | { readonly phase: 'failed'; readonly rig: string; readonly error: ApiError };

/** Answer to the page that started a recording; the lease is told to nobody else. */
export type StartedBody = SessionBody & {
  /** To be renewed at least every second while the drive runs; null where nothing is driven. */
  readonly lease: string | null;
};

export interface StateBody {
  readonly version: string;
  readonly methodVersion: string;
  readonly logbook: string;
  /** The cautions have been read since this server started. */
  readonly cautionsRead: boolean;
  readonly session: SessionBody;
  /** What somebody who looks from another machine has to know; null on this one. */
  readonly caution: string | null;
}

/** One live batch: samples since the batch before, per channel, on the device's own clock. */
export interface LiveBatch {
  readonly force: { readonly time_s: readonly number[]; readonly force_N: readonly number[] };
  readonly position: { readonly time_s: readonly number[]; readonly position_m: readonly number[] };
}

/** Events of GET /api/live, by their SSE event name. */
export interface LiveEvents {
  readonly samples: LiveBatch;
  /** Sample batches this reader was too slow for and will not get. */
  readonly skipped: { readonly batches: number };
  readonly session: SessionBody;
  /** What the recording under way says so far. */
  readonly estimate: LiveEstimate;
  /** How far the analysis of a recording is, from 0 to 1. */
  readonly analysis: { readonly recordingId: number; readonly share: number };
  /** Something in the logbook changed; the lists are worth fetching again. */
  readonly logbook: { readonly reason: string };
}

export interface StartRecordingBody {
  readonly rig:
    | { readonly kind: 'port'; readonly path: string }
    | { readonly kind: 'practice'; readonly build: string };
  readonly build:
    | { readonly kind: 'existing'; readonly buildId: number }
    | {
        readonly kind: 'new';
        readonly name: string;
        readonly shock: string;
        readonly parentId: number | null;
        readonly change: string;
      };
  readonly procedure: ProcedureChoiceId;
  readonly cautionsRead: boolean;
  /** What it is for; left out where nobody said. */
  readonly asked?: AskedSeries;
}
