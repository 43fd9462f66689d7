import type { TraceInput } from '../../analysis/index.js';
import type { ChannelKind } from '../../firmware-protocol/index.js';
import type { Calibration } from '../calibration.js';
import type { LinkStatistics } from '../link/link-statistics.js';
import type { RigIdentity } from '../link/rig-identity.js';
import type { ProcedureRecord } from '../procedures.js';
import type { FittedPart, PartChange } from './build-parts.js';
import type { Properties } from './properties.js';

type Id<Of extends string> = number & { readonly id: Of };
export type ShockId = Id<'shock'>;
export type BuildId = Id<'build'>;
export type RigId = Id<'rig'>;
export type CalibrationId = Id<'calibration'>;
export type RecordingId = Id<'recording'>;

export type { Properties };

export interface Shock {
  readonly id: ShockId;
  readonly name: string;
  readonly properties: Properties;
  /** UTC, ISO 8601, as every time of day here. */
  readonly createdAt: string;
}

export interface Build {
  readonly id: BuildId;
  readonly shockId: ShockId;
  readonly shockName: string;
  readonly parentBuildId: BuildId | null;
  readonly parentName: string | null;
  readonly name: string;
  /** What separates it from its parent, in the owner's words; empty for a first build. */
  readonly change: string;
  /** What was said of this build itself. */
  readonly properties: Properties;
  /** Its parts, with those that it has from the builds it was made from. */
  readonly fitted: readonly FittedPart[];
  /** The parts that are not its parent's. */
  readonly changes: readonly PartChange[];
  /** All that is known of what it is made of, inherited or not. */
  readonly wholeProperties: Properties;
  readonly createdAt: string;
  /** Names from the first ancestor to this build. */
  readonly lineage: readonly string[];
  /** Recordings that are not discarded. */
  readonly recordings: number;
  /** In the bin, and its recordings with it. */
  readonly binned: boolean;
}

export interface CalibrationRecord {
  readonly id: CalibrationId;
  /** Null for the identity calibration of imported values. */
  readonly rigId: RigId | null;
  /** 1, 2, … for one rig, in the order they were entered; the one made last is in force. */
  readonly version: number;
  readonly calibration: Calibration;
  readonly note: string;
  readonly createdAt: string;
}

/**
 * *complete*: the procedure ran to its end. *interrupted*: it did not, what was captured is there.
 * *discarded*: its owner does not want it counted; nothing is deleted.
 */
export type RecordingState = 'recording' | 'complete' | 'interrupted' | 'discarded';

export interface Recording {
  readonly id: RecordingId;
  readonly buildId: BuildId;
  readonly buildName: string;
  readonly shockName: string;
  /** Null for imported files. */
  readonly rigId: RigId | null;
  readonly calibrationId: CalibrationId;
  readonly procedure: ProcedureRecord;
  /** Which mounting of the shock this was, counted from 1; recordings of one remount share it. */
  readonly remount: number;
  /** The interrupted recording of which this is a further segment; null for one that stands alone. */
  readonly continues: RecordingId | null;
  readonly startedAt: string;
  readonly state: RecordingState;
  /** Why it is in that state, in words; empty where there is nothing to say. */
  readonly stateReason: string;
  readonly identity: RigIdentity | null;
  readonly statistics: LinkStatistics | null;
  readonly simulated: boolean;
  /** Seed of the simulated rig, null on a real one. */
  readonly seed: number | null;
  /** File or bundle it was imported from, null when recorded here. */
  readonly source: string | null;
}

export type SampleUnit = 'counts' | 'mdegC' | 'N' | 'm' | 'degC';

/** What a rig sent on one channel: device microseconds past the 32-bit wrap, and counts. */
export interface RawChannel {
  readonly kind: ChannelKind;
  readonly unit: 'counts' | 'mdegC';
  readonly deviceTimes_us: Float64Array;
  readonly counts: Int32Array;
}

/** What a file held for one channel. */
export interface ImportedChannel {
  readonly kind: ChannelKind;
  readonly unit: 'N' | 'm' | 'degC';
  readonly times_s: Float64Array;
  readonly values: Float64Array;
}

export type StoredChannel = RawChannel | ImportedChannel;

export interface NewShock {
  readonly name: string;
  readonly properties?: Properties;
}

export interface NewBuild {
  readonly shockId: ShockId;
  readonly name: string;
  readonly parentBuildId?: BuildId | null;
  readonly change?: string;
  readonly properties?: Properties;
}

export interface NewRecording {
  readonly buildId: BuildId;
  readonly rigId: RigId | null;
  readonly calibrationId: CalibrationId;
  readonly procedure: ProcedureRecord;
  /** That of the recording it continues, or the next unused number of the build, where it is left out. */
  readonly remount?: number;
  readonly continues?: RecordingId | null;
  readonly startedAt: string;
  readonly identity: RigIdentity | null;
  readonly simulated: boolean;
  readonly seed?: number | null;
  readonly source?: string | null;
}

/** How a recording ended, and what is known about it only then. */
export interface RecordingEnd {
  readonly state: 'complete' | 'interrupted' | 'discarded';
  readonly reason?: string;
  readonly procedure?: ProcedureRecord;
  readonly statistics?: LinkStatistics | null;
}

/** A recording in SI units, ready for `analyzeRecording`, and how it came about. */
export interface RecordingReading {
  readonly recording: Recording;
  readonly calibration: CalibrationRecord;
  readonly trace: TraceInput;
  readonly trust: readonly ChannelTrust[];
}

/** What reading a channel left out, and what it found missing. */
export interface ChannelTrust {
  readonly kind: ChannelKind;
  readonly samples: number;
  /** Samples that should have been in the gaps, by the channel's own pace. */
  readonly missing: number;
  /** Samples before a gap that cannot be trusted (force only). */
  readonly doubted: number;
  /** Samples whose time did not increase. */
  readonly disordered: number;
  /** Mean time between neighbouring samples, gaps left out; null below two samples. */
  readonly period_s: number | null;
}
