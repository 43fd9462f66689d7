import {
  broughtTo,
  type CurvePoint,
  curveAt,
  curvePointOf,
  curveReader,
  dampingCurve,
  type Estimate,
  estimateWithCorrection,
  fastestOf,
  type KnownSpread,
  type Measured,
  poolRemounts,
  type RecordingAnalysis,
  type RemountSpread,
  readBeyond,
  spreadFor,
} from '../../analysis/index.js';
import { spreadOfCurve } from './known-spread.js';

/** What builds are seen over each other by: drag and damping together, or one of the two alone. */
export const overlayKinds = ['total', 'damping', 'drag'] as const;
export type OverlayKind = (typeof overlayKinds)[number];

/** One remount of a build. */
export interface OverlaidRecording {
  readonly analysis: RecordingAnalysis;
  /** Drag plus damping against signed velocity, as the recording's picture has it. */
  readonly total: readonly CurvePoint[];
}

/** Measured points of a recording, equal lengths. */
export interface OverlaidPoints {
  readonly velocity_m_per_s: readonly number[];
  /** Drag and damping as measured: force less gas and inertia. */
  readonly frictional_N: readonly number[];
}

export interface OverlayOptions {
  readonly kind: OverlayKind;
  /** Oil temperature that damping is brought to; null leaves every recording at its own. */
  readonly at_degC: number | null;
  /** Spread between remounts from elsewhere, such as the rig's long-run spread. */
  readonly known?: KnownSpread | undefined;
}

/** Reads a recording's force at a signed velocity, signed like it; null where it was not measured. */
type ForceReader = (velocity_m_per_s: number) => Measured | null;

/** Builds seen over each other, one way. Forces are signed like their velocity, differences are counted along the motion. */
export interface Overlay {
  /**
   * Force against velocity: at each speed of a build's first remount the mean over its remounts, with the spread between
   * remounts pooled over all builds that reach that speed; a curve per build over the speeds that all its remounts reach.
   */
  curves(): CurvePoint[][];
  /** What each later build has more than the first, in both directions, against velocity; a curve per later build. */
  differences(): CurvePoint[][];
  /** A force per build; null for one that was not measured there. */
  forcesAt(velocity_m_per_s: number): (Estimate | null)[];
  /** A difference per later build; null where either was not measured. */
  differencesAt(velocity_m_per_s: number): (Estimate | null)[];
}

/**
 * @param builds per build one recording a remount
 * Numerical notes: as in a comparison, errors of the temperature correction are common to both sides of a difference, and
 *   what enters is the uncertainty of the corrections' difference.
 */
export function overlayOf(
  builds: readonly (readonly OverlaidRecording[])[],
  options: OverlayOptions,
): Overlay {
  const readers = builds.map((remounts) => remounts.map((remount) => forceReader(remount, options)));
  const speeds = builds.map(([first]) => speedsOf(first, options.kind));
  const spread =
    options.kind === 'drag'
      ? spreadFor(options.known, 'friction_N')
      : spreadOfCurve(options.known, options.kind);
  const meansAt = (velocity: number) => pooledAt(readers, velocity, spread);
  const differencesAt = (velocity: number) => {
    const [before, ...later] = meansAt(velocity);
    return later.map((after) => (before && after ? differenceOf(before, after) : null));
  };
  const along = (
    velocities: readonly number[],
    at: (velocity_m_per_s: number, index: number) => Estimate | null | undefined,
  ) =>
    velocities.flatMap((velocity, i): CurvePoint[] => {
      const force = at(velocity, i);
      return force ? [curvePointOf(velocity, force)] : [];
    });
  return {
    curves: () => builds.map((_, own) => along(speeds[own]!, (velocity) => meansAt(velocity)[own]?.estimate)),
    differences() {
      const velocities = speeds[0] ?? [];
      const all = velocities.map(differencesAt);
      return builds.slice(1).map((_, k) => along(velocities, (_velocity, i) => all[i]![k]));
    },
    forcesAt: (velocity) => meansAt(velocity).map((mean) => mean?.estimate ?? null),
    differencesAt,
  };
}

function differenceOf(before: PooledMean, after: PooledMean): Estimate {
  return estimateWithCorrection(
    Math.abs(after.value) - Math.abs(before.value),
    before.variance + after.variance,
    after.correction - before.correction,
    after.degreesOfFreedom,
  );
}

/** Measured points as they belong behind a curve: less what the curve leaves out, at its temperature. */
export function overlayPoints(
  recording: OverlaidRecording,
  { velocity_m_per_s, frictional_N }: OverlaidPoints,
  { kind, at_degC }: OverlayOptions,
): number[] {
  const other = kind === 'total' ? null : kind === 'damping' ? 'drag' : 'damping';
  const leftOut = other && forceReader(recording, { kind: other, at_degC: null }, Number.POSITIVE_INFINITY);
  const corrected = kind === 'drag' ? null : correctionReader(recording.analysis, at_degC);
  return velocity_m_per_s.map((velocity, i) => {
    const less = velocity === 0 ? 0 : (leftOut?.(velocity)?.value ?? 0);
    const more = velocity === 0 ? 0 : (corrected?.(velocity) ?? 0);
    return frictional_N[i]! - less + more;
  });
}

function speedsOf(remount: OverlaidRecording | undefined, kind: OverlayKind): number[] {
  const curve = kind === 'damping' ? remount?.analysis.damping.curve : remount?.total;
  return (curve ?? []).map((point) => point.velocity_m_per_s).filter((velocity) => velocity !== 0);
}

function forceReader(
  { analysis, total }: OverlaidRecording,
  { kind, at_degC }: OverlayOptions,
  reach = readBeyond,
): ForceReader {
  if (kind === 'drag') {
    const { mean_N, compression_N, rebound_N } = analysis.friction;
    return (velocity) => {
      const drag_N = (velocity > 0 ? compression_N : rebound_N) ?? mean_N;
      return drag_N && { ...drag_N, value: Math.sign(velocity) * drag_N.value };
    };
  }
  const corrected = correctionReader(analysis, at_degC);
  const withCorrection = (velocity: number, measured: Measured | null): Measured | null => {
    const correction = corrected?.(velocity) ?? 0;
    return measured && { ...measured, value: measured.value + correction, correction };
  };
  if (kind === 'total') return (velocity) => withCorrection(velocity, curveAt(total, velocity));
  const curve = dampingCurve(analysis);
  if (!curve) return () => null;
  const read = curveReader(curve);
  const fastest = { compression: fastestOf(curve, 'compression'), rebound: fastestOf(curve, 'rebound') };
  return (velocity) => {
    if (Math.abs(velocity) > reach * fastest[velocity > 0 ? 'compression' : 'rebound']) return null;
    const { force_N, standardError_N } = read(velocity)!;
    return withCorrection(velocity, { value: force_N, standardError: standardError_N });
  };
}

/** What bringing damping to a temperature adds, signed like the velocity; null where nothing is to be brought. */
function correctionReader(
  analysis: RecordingAnalysis,
  at_degC: number | null,
): ((velocity_m_per_s: number) => number) | null {
  const curve = dampingCurve(analysis);
  if (at_degC === null || curve === null || curve.temperature_degC === null) return null;
  const [read, brought] = [curveReader(curve), curveReader(broughtTo(curve, at_degC))];
  return (velocity) => (brought(velocity)?.force_N ?? 0) - (read(velocity)?.force_N ?? 0);
}

interface PooledMean {
  readonly value: number;
  readonly estimate: Estimate;
  /** Of the mean, the correction's part left out. */
  readonly variance: number;
  /** Along the motion, as the differences are counted. */
  readonly correction: number;
  readonly degreesOfFreedom: number;
}

/** Each build's mean at a velocity; null for a build one of whose remounts does not reach it. */
function pooledAt(
  readers: readonly (readonly ForceReader[])[],
  velocity_m_per_s: number,
  known: RemountSpread | undefined,
): (PooledMean | null)[] {
  const read = readers.map((remounts) => remounts.map((reader) => reader(velocity_m_per_s)));
  const { builds, degreesOfFreedom } = poolWhole(read, known);
  return builds.map(
    (build) =>
      build && {
        value: build.value,
        get estimate() {
          return build.mean;
        },
        variance: build.standardDeviation ** 2 / build.remounts,
        correction: Math.sign(velocity_m_per_s) * build.correction,
        degreesOfFreedom,
      },
  );
}

type Pooled = ReturnType<typeof poolRemounts>;

/** Pools what the remounts of builds measured; null for a build one of whose remounts did not. */
export function poolWhole(
  measured: readonly (readonly (Measured | null)[])[],
  known: RemountSpread | undefined,
): { readonly builds: readonly (Pooled['builds'][number] | null)[]; readonly degreesOfFreedom: number } {
  const isWhole = (values: readonly (Measured | null)[]): values is Measured[] =>
    values.length > 0 && !values.includes(null);
  const whole = measured.filter(isWhole);
  if (whole.length === 0) return { builds: measured.map(() => null), degreesOfFreedom: 0 };
  const { builds, degreesOfFreedom } = poolRemounts(whole, known);
  return {
    builds: measured.map((values) => (isWhole(values) ? builds[whole.indexOf(values)]! : null)),
    degreesOfFreedom,
  };
}
