import type { AnalysisRefusal, KernelName, ProcedureName } from './result.js';

/**
 * One recording as the analysis sees it: force and position on their own clocks, in SI units.
 * Made only by `makeTrace`, which checks it; later code trusts it.
 */
export interface Trace {
  readonly force: { readonly time_s: Float64Array; readonly force_N: Float64Array };
  readonly position: { readonly time_s: Float64Array; readonly position_m: Float64Array };
  readonly temperature: { readonly time_s: Float64Array; readonly temperature_degC: Float64Array };
  readonly rig: RigDescription;
  /** How the shock was moved, where somebody said so; null where motion and force must tell. */
  readonly procedure: ProcedureName | null;
}

/** What the rig declares about its force channel; null where it says nothing and the analysis must find out. */
export interface RigDescription {
  readonly kernel: KernelName | null;
  readonly conversionPeriod_s: number | null;
  /** Force limits of the converter; samples at or beyond them are saturated. */
  readonly forceLow_N: number | null;
  readonly forceHigh_N: number | null;
  /** Delay of the force behind the position beyond the converter's own, as a spring check found it. */
  readonly lag: KnownLag | null;
  /** Samples the acquisition knows it lost, and samples it dropped as untrustworthy. */
  readonly samplesMissing: number;
  /** Its lines carried no checksum: a damaged number may have passed for a right one. */
  readonly linesUnchecked: boolean;
}

export interface KnownLag {
  readonly value_s: number;
  readonly standardUncertainty_s: number;
}

const undeclaredRig: RigDescription = {
  kernel: null,
  conversionPeriod_s: null,
  forceLow_N: null,
  forceHigh_N: null,
  lag: null,
  samplesMissing: 0,
  linesUnchecked: false,
};

export interface TraceInput {
  readonly force: { readonly time_s: Float64Array; readonly force_N: Float64Array };
  readonly position: { readonly time_s: Float64Array; readonly position_m: Float64Array };
  readonly temperature?: { readonly time_s: Float64Array; readonly temperature_degC: Float64Array };
  readonly rig?: Partial<RigDescription>;
  readonly procedure?: ProcedureName | null;
}

export type TraceOutcome =
  | { readonly ok: true; readonly trace: Trace }
  | { readonly ok: false; readonly refusal: AnalysisRefusal };

/**
 * Checks raw channels and makes the trace that all of the analysis takes for granted.
 * @param input each channel's times in s (strictly increasing, finite, any origin common to all channels)
 *   and values of equal length: force in N (positive when the shock pushes back), position in m (positive
 *   into compression, any origin), optionally temperature in °C, what the rig declares, and the procedure
 * @returns the trace, sharing the arrays given, or the reason it was refused with what was found and wanted
 */
export function makeTrace(input: TraceInput): TraceOutcome {
  const { force, position } = input;
  const temperature = input.temperature ?? {
    time_s: new Float64Array(0),
    temperature_degC: new Float64Array(0),
  };
  const refusal =
    refuseChannel('force', force.time_s, force.force_N) ??
    refuseChannel('position', position.time_s, position.position_m) ??
    (temperature.time_s.length > 0
      ? refuseChannel('temperature', temperature.time_s, temperature.temperature_degC)
      : null);
  if (refusal) return { ok: false, refusal };
  const rig = { ...undeclaredRig, ...input.rig };
  return { ok: true, trace: { force, position, temperature, rig, procedure: input.procedure ?? null } };
}

function refuseChannel(
  name: 'force' | 'position' | 'temperature',
  time_s: Float64Array,
  values: Float64Array,
): AnalysisRefusal | null {
  if (time_s.length !== values.length)
    throw new RangeError(`${name}: ${time_s.length} times for ${values.length} values`);
  if (time_s.length === 0)
    return {
      code: name === 'position' ? 'no-position' : 'no-force',
      found: `no ${name} samples`,
      wanted: 'at least one',
    };
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(time_s[i]!) || !Number.isFinite(values[i]!))
      return {
        code: 'not-finite',
        found: `${name} sample ${i + 1} is not a number`,
        wanted: 'finite numbers',
      };
    if (i > 0 && time_s[i]! <= time_s[i - 1]!)
      return {
        code: 'time-not-increasing',
        found: `${name} sample ${i + 1} at ${time_s[i]} s after ${time_s[i - 1]} s`,
        wanted: 'times that increase from sample to sample',
      };
  }
  return null;
}
