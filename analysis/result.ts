/** What an analysis returns. SI units inside, except where a name carries a bench unit because the published JSON shape does. */

/** A value with its standard uncertainty and 95 % interval, all in the unit the property name carries. */
export interface Estimate {
  readonly value: number;
  readonly standardError: number;
  readonly low95: number;
  readonly high95: number;
}

export type ProcedureName =
  | 'speed-ladder'
  | 'slow-sweep'
  | 'travel-sweep'
  | 'spring-pull'
  | 'lag-check'
  | 'warm-up'
  | 'unknown';

/** Averaging that the force converter itself does, as a filter over whole conversions. */
export type KernelName = 'none' | 'one-conversion' | 'sinc3' | 'sinc4';

export interface DirectionalDamping {
  readonly linear_Ns_per_m: Estimate | null;
  /** Where damping was found to bend away from both terms, which its curve shows: as it acts at top speed. */
  readonly quadratic_Ns2_per_m2: Estimate | null;
}

/** Damping force alone (no drag, no gas) at one signed velocity; rebound is negative. */
export interface CurvePoint {
  readonly velocity_m_per_s: number;
  readonly force_N: number;
  readonly standardError_N: number;
  readonly low95_N: number;
  readonly high95_N: number;
}

export type FindingCode =
  | 'air-in-oil'
  | 'compression-ceiling'
  | 'end-contact'
  | 'stick-slip'
  | 'binding'
  | 'play-in-mounts'
  | 'force-saturated'
  | 'samples-missing'
  | 'too-few-cycles'
  | 'too-slow-sampling'
  | 'crank-locked-to-sampling'
  | 'lag-unresolved'
  | 'kernel-chosen'
  | 'loop-energy-mismatch'
  | 'sign-reversed'
  | 'warming'
  | 'unchecked-lines';

/** Something the analysis noticed. The sentence for people is added by the dashboard room. */
export interface Finding {
  readonly code: FindingCode;
  readonly severity: 'note' | 'warning';
  /** Plain numbers and words the sentence is made from, e.g. `deadStroke_mm`, `force_N`, `position_mm`. */
  readonly values: Readonly<Record<string, number | string>>;
}

/** What a slow sweep shows beyond the fitted numbers: drag as it was measured, magnitudes along the motion. */
export interface SlowSweep {
  /** Mean drag over each part of the travel, from the slower half of the strokes; null where none passed. */
  readonly dragAlong: readonly {
    readonly position_mm: number;
    readonly compression_N: number | null;
    readonly rebound_N: number | null;
  }[];
  /** Drag in the middle of each stroke against its speed, slowest first: the Stribeck curve. */
  readonly dragAtSpeed: readonly {
    readonly velocity_mm_per_s: number;
    readonly direction: 'compression' | 'rebound';
    readonly drag_N: number;
  }[];
  /** Highest drag at each start over the level that the stroke then slides at, and the rest before it. */
  readonly starts: readonly {
    readonly dwell_s: number;
    /** At which the stroke then slides. */
    readonly velocity_mm_per_s: number;
    readonly direction: 'compression' | 'rebound';
    readonly excess_N: number;
  }[];
}

export interface RecordingAnalysis {
  readonly samples: number;
  readonly cycles: number;
  readonly procedure: ProcedureName;
  readonly friction: {
    readonly mean_N: Estimate | null;
    readonly compression_N: Estimate | null;
    readonly rebound_N: Estimate | null;
    readonly breakaway_N: Estimate | null;
  };
  readonly damping: {
    readonly compression: DirectionalDamping;
    readonly rebound: DirectionalDamping;
    readonly curve: readonly CurvePoint[];
  };
  readonly gas: { readonly offset_N: Estimate | null; readonly rate_N_per_mm: Estimate | null };
  readonly rig: {
    readonly lag_ms: Estimate | null;
    readonly kernel: KernelName;
    readonly movingMass_kg: Estimate | null;
  };
  /** Mean over the recording, or null where the recording has no temperature. */
  readonly temperature_degC: number | null;
  /** Root mean square of measured minus fitted force. */
  readonly residual_N: number;
  /** Dotted paths of estimates that are null because the data cannot support them. */
  readonly notIdentified: readonly string[];
  readonly findings: readonly Finding[];
  /** Where the procedure is a slow sweep: what it shows beyond the fit. */
  readonly sweep?: SlowSweep;
}

/** Thinned measured points and fitted curves for drawing; never used as input to another computation. */
export interface RecordingPicture {
  /** Measured points at force-sample times, at most a few thousand, equal lengths. */
  readonly points: {
    readonly time_s: Float64Array;
    readonly position_m: Float64Array;
    readonly velocity_m_per_s: Float64Array;
    readonly force_N: Float64Array;
    /** Measured minus fitted. */
    readonly residual_N: Float64Array;
    /** Measured force less fitted gas, inertia and offset: drag and damping as the shock shows them. */
    readonly frictional_N: Float64Array;
  };
  /** Drag plus damping against signed velocity with a 95 % band, zero velocity excluded. */
  readonly total: readonly CurvePoint[];
}

/** Why a recording could not be analysed at all; a value, never thrown. */
export interface AnalysisRefusal {
  readonly code:
    | 'no-force'
    | 'no-position'
    | 'too-short'
    | 'no-motion'
    | 'not-finite'
    | 'time-not-increasing'
    | 'constant-force'
    | 'out-of-range'
    | 'no-overlap'
    | 'all-saturated'
    | 'too-long'
    | 'singular';
  readonly found: string;
  readonly wanted: string;
}

export type AnalysisOutcome =
  | { readonly ok: true; readonly analysis: RecordingAnalysis; readonly picture: RecordingPicture }
  | { readonly ok: false; readonly refusal: AnalysisRefusal };

export type DifferenceVerdict = 'lower' | 'higher' | 'not-resolved';

/** How the spread between remounts is known; *assumed* where every build has one and nothing is known of the rig. */
export type SpreadBasis = 'remounts' | 'remounts-and-rig' | 'rig' | 'assumed';

export interface Difference {
  /** `friction_N`, `breakaway_N`, `damping.compression@0.10` (force in N at that speed in m/s), … */
  readonly quantity: string;
  readonly before: Estimate;
  readonly after: Estimate;
  readonly difference: Estimate;
  readonly verdict: DifferenceVerdict;
  /** Smallest true difference that these remounts would resolve with 80 % power, in the quantity's unit. */
  readonly resolvable: number;
  /** Between remounts of one build, in the quantity's unit. */
  readonly spread: {
    readonly standardDeviation: number;
    readonly degreesOfFreedom: number;
    readonly basis: SpreadBasis;
  };
}

export interface Comparison {
  readonly differences: readonly Difference[];
  /** Common temperature to which damping was brought, or null where a recording has none. */
  readonly temperature_degC: number | null;
  readonly remounts: { readonly before: number; readonly after: number };
}
