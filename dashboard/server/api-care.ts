/** What travels between the server and the place Rig care. */
import type { RecordingAnalysis } from '../../analysis/index.js';
import type {
  CalibrationPart,
  CalibrationRecord,
  CareRun,
  GuidedStep,
  RigProfile,
  RigSpread,
} from '../../daq/index.js';
import type { CheckAnswer } from '../answers/index.js';
import type { ApiError } from './api-error.js';

/** A procedure that readings make. */
export type ReadProcedure = 'force' | 'position' | 'angle';
/** Everything that is done at a rig to look after it. */
export type CareProcedure = 'setup' | ReadProcedure | CareRun;

export interface CareBody {
  readonly rigs: readonly { readonly id: number; readonly name: string }[];
  /** The one asked for, or the one used last; null where the logbook has none. */
  readonly rig: CareRig | null;
}

export interface CareRig {
  readonly id: number;
  readonly name: string;
  readonly profile: ApiProfile | null;
  /** The newest first, which is in force. */
  readonly calibrations: readonly Pick<CalibrationRecord, 'version' | 'calibration' | 'note' | 'createdAt'>[];
  /** What they were found from, the newest first. */
  readonly parts: readonly ApiFoundPart[];
  readonly check: ApiCheck | null;
  /** Between remounts, from all results that were kept. */
  readonly spreads: readonly RigSpread[];
  /** Complete ones that another calibration may be applied to, the newest first. */
  readonly recordings: readonly CareRecording[];
}

export interface ApiProfile {
  readonly version: number;
  readonly createdAt: string;
  readonly note: string;
  readonly profile: RigProfile;
}

export interface ApiFoundPart {
  readonly part: CalibrationPart['part'];
  readonly value: CalibrationPart['value'];
  /** What it was found from; its shape is the procedure's, null where nobody kept it. */
  readonly evidence: unknown;
  readonly note: string;
  readonly createdAt: string;
}

export interface ApiCheck {
  readonly standard: string;
  readonly since: string;
  /** Null where it was never measured. */
  readonly answer: CheckAnswer | null;
  /** Null with it. */
  readonly measuredAt: string | null;
}

export interface CareRecording {
  readonly id: number;
  readonly build: string;
  readonly remount: number;
  readonly startedAt: string;
  readonly calibrationVersion: number;
}

/** What a rig knows of its remounts after it has learnt from those of a build. */
export interface LearntBody {
  /** That were taken into account. */
  readonly remounts: number;
  readonly spreads: readonly RigSpread[];
}

/** One recording under its own calibration and under another. */
export interface UnderBody {
  readonly recordingId: number;
  readonly own: UnderCalibration;
  readonly other: UnderCalibration;
}

export interface UnderCalibration {
  readonly version: number;
  /** Null where it could not be analysed. */
  readonly analysis: RecordingAnalysis | null;
}

/** What a procedure came to. */
export type CareFound =
  | { readonly kind: 'part'; readonly part: CalibrationPart; readonly evidence: unknown }
  | { readonly kind: 'profile'; readonly profile: RigProfile };

export interface TakenReading {
  readonly step: GuidedStep;
  readonly counts: number;
  readonly samples: number;
}

/** Where the procedure stands that this server leads through; one at a time. */
export type GuidedBody =
  | { readonly phase: 'idle' }
  | { readonly phase: 'connecting'; readonly what: CareProcedure }
  | {
      readonly phase: 'asking' | 'reading';
      readonly what: CareProcedure;
      readonly rig: string;
      readonly step: GuidedStep;
      /** The person measures a length here. */
      readonly wantsLength: boolean;
      /** While it is being read. */
      readonly counts: number | null;
      readonly taken: readonly TakenReading[];
    }
  | {
      readonly phase: 'recording';
      readonly what: CareProcedure;
      readonly rig: string;
      readonly elapsed_s: number;
      readonly planned_s: number | null;
    }
  | {
      readonly phase: 'found';
      readonly what: CareProcedure;
      readonly rig: string;
      readonly found: CareFound;
    }
  | {
      readonly phase: 'entered';
      readonly what: CareProcedure;
      readonly rig: string;
      readonly entered: EnteredCare;
    }
  | {
      readonly phase: 'failed';
      readonly what: CareProcedure;
      readonly error: ApiError;
    };

export interface EnteredCare {
  /** Of the calibration or the profile; null while force or position are missing, and for a check. */
  readonly version: number | null;
  readonly missing: readonly ('force' | 'position')[];
}

/** Answer to the page that started a procedure; the lease is told to nobody else, and null where nothing is driven. */
export type GuidedStartedBody = GuidedBody & { readonly lease: string | null };

/** Readings that were typed: what they came to, and as what they were entered. */
export interface ReadingsBody {
  readonly found: CareFound;
  readonly entered: EnteredCare | null;
}

export interface GuidedStart {
  readonly what: CareProcedure;
  readonly rig: { readonly kind: 'port'; readonly path: string } | { readonly kind: 'practice' };
  readonly plan: CarePlan;
  readonly cautionsRead: boolean;
}

/** What the person says beforehand; each procedure takes what it needs. */
export interface CarePlan {
  readonly masses_g: readonly number[];
  readonly lengths_mm: readonly number[];
  readonly runs: number;
  /** Local free fall; null: by the latitude, the profile's, or what it is anywhere. */
  readonly gravity_m_per_s2: number | null;
  readonly latitude_deg: number | null;
  /** Above sea level; counts with the latitude. */
  readonly height_m: number | null;
  /** Hanging masses pull where a shock in compression pushes. */
  readonly isPull: boolean;
  /** Standard uncertainties; null for what is usual. */
  readonly massUncertainty_percent: number | null;
  readonly lengthUncertainty_mm: number | null;
  readonly radius_mm: number | null;
  readonly rod_mm: number | null;
  readonly countsPerTurn: number | null;
  readonly capacity_N: number | null;
  readonly stroke_mm: number | null;
  /** Load that ends a run; null for the usual share of the capacity. */
  readonly forceLimit_N: number | null;
  /** Fastest speed that the drive may run; null for its own. */
  readonly fastest_rev_per_s: number | null;
  /** The check standard's history begins anew: after a repair, or with another spring. */
  readonly isNewBaseline: boolean;
}
