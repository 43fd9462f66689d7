import {
  curveReader,
  type Direction,
  dampingCurve,
  type Estimate,
  type KnownSpread,
  type Measured,
  spreadFor,
} from '../../analysis/index.js';
import { type OverlaidPoints, type OverlaidRecording, poolWhole } from './overlay.js';

/** A recording with where its points were measured. */
export interface PlacedRecording extends OverlaidRecording {
  readonly points: OverlaidPoints & { readonly position_m: readonly number[] };
}

/** Drag of one build in one part of the travel, magnitudes; null where no remount slid there. */
export interface DragPart {
  /** Middle of the part. */
  readonly position_m: number;
  readonly compression_N: Estimate | null;
  readonly rebound_N: Estimate | null;
}

const parts = 20;
/** Slower than this share of its stroke's fastest, a seal is turning round and not sliding. */
const slidingShare = 0.2;
const fewestPoints = 3;
/** A stroke shorter than this share of the travel is a rest with noise on it, or the start of a recording. */
const wholeShare = 0.5;

interface Slid {
  readonly position_m: number;
  readonly direction: Direction;
  readonly drag_N: number;
}

/**
 * Drag against position of builds seen over each other: what was measured in the slower half of the strokes, less
 * damping, averaged over parts of the travel that all builds share.
 * @param builds per build one recording a remount
 * @param known spread between remounts from elsewhere, such as the rig's long-run spread: that of drag counts
 * @returns per build one entry a part, from full extension on
 * Numerical notes: the interval is that of the mean over the remounts, with the spread pooled over the builds that slid
 *   there; a part that fewer than three points of a remount fall into is left out for that remount's build.
 */
export function dragAlong(
  builds: readonly (readonly PlacedRecording[])[],
  known?: KnownSpread,
): DragPart[][] {
  const slid = builds.map((remounts) => remounts.map(slidOf));
  const positions = slid.flat(2).map(({ position_m }) => position_m);
  const low_m = positions.reduce((low, position) => Math.min(low, position), Number.POSITIVE_INFINITY);
  const high_m = positions.reduce((high, position) => Math.max(high, position), Number.NEGATIVE_INFINITY);
  if (!(high_m > low_m)) return builds.map(() => []);
  const partOf = (position_m: number) =>
    Math.min(parts - 1, Math.floor((parts * (position_m - low_m)) / (high_m - low_m)));
  const inParts = { compression: pooled('compression'), rebound: pooled('rebound') };
  return builds.map((_, b) =>
    Array.from({ length: parts }, (_, part) => ({
      position_m: low_m + ((part + 0.5) / parts) * (high_m - low_m),
      compression_N: inParts.compression[part]![b]!,
      rebound_N: inParts.rebound[part]![b]!,
    })),
  );

  /** Per part each build's mean. */
  function pooled(direction: Direction): (Estimate | null)[][] {
    const sorted = slid.map((remounts) => remounts.map((points) => sortedIntoParts(points, direction)));
    return Array.from({ length: parts }, (_, part) => {
      const measured = sorted.map((remounts) => remounts.map((drags) => meanOf(drags[part]!)));
      const { builds: means } = poolWhole(measured, spreadFor(known, 'friction_N'));
      return means.map((build) => build?.mean ?? null);
    });
  }

  function sortedIntoParts(points: readonly Slid[], direction: Direction): number[][] {
    const drags = Array.from({ length: parts }, (): number[] => []);
    for (const point of points)
      if (point.direction === direction) drags[partOf(point.position_m)]!.push(point.drag_N);
    return drags;
  }
}

const slidPoints = new WeakMap<PlacedRecording['points'], readonly Slid[]>();

/** The sliding points of the slower half of a recording's strokes, less damping; found once. */
function slidOf(recording: PlacedRecording): readonly Slid[] {
  const slid = slidPoints.get(recording.points) ?? findSlid(recording);
  slidPoints.set(recording.points, slid);
  return slid;
}

function findSlid({
  analysis,
  points: { velocity_m_per_s, frictional_N, position_m },
}: PlacedRecording): Slid[] {
  const curve = dampingCurve(analysis);
  const damping = curve && curveReader(curve);
  return slowerHalf(strokesOf(velocity_m_per_s, position_m)).flatMap(({ from, to, peak }) => {
    const slid: Slid[] = [];
    for (let i = from; i < to; i++) {
      const velocity = velocity_m_per_s[i]!;
      if (Math.abs(velocity) < slidingShare * peak) continue;
      const drag_N = Math.sign(velocity) * (frictional_N[i]! - (damping?.(velocity)?.force_N ?? 0));
      slid.push({
        position_m: position_m[i]!,
        direction: velocity > 0 ? 'compression' : 'rebound',
        drag_N,
      });
    }
    return slid;
  });
}

interface StrokeRun {
  readonly from: number;
  readonly to: number;
  readonly peak: number;
}

/** Runs of points between two changes of direction that go over most of the travel. */
function strokesOf(velocity_m_per_s: readonly number[], position_m: readonly number[]): StrokeRun[] {
  const strokes: StrokeRun[] = [];
  const whole_m = wholeShare * (Math.max(...position_m) - Math.min(...position_m));
  for (let from = 0; from < velocity_m_per_s.length; ) {
    let [to, peak] = [from, 0];
    const direction = Math.sign(velocity_m_per_s[from]!);
    for (; to < velocity_m_per_s.length && Math.sign(velocity_m_per_s[to]!) === direction; to++)
      peak = Math.max(peak, Math.abs(velocity_m_per_s[to]!));
    const travelled_m = Math.abs(position_m[to - 1]! - position_m[from]!);
    if (direction !== 0 && travelled_m >= whole_m) strokes.push({ from, to, peak });
    from = to;
  }
  return strokes;
}

const slowerHalf = (strokes: readonly StrokeRun[]): StrokeRun[] =>
  strokes.toSorted((a, b) => a.peak - b.peak).slice(0, Math.ceil(strokes.length / 2));

/** Mean of points with the standard error that their scatter alone implies. */
function meanOf(values: readonly number[]): Measured | null {
  const n = values.length;
  if (n < fewestPoints) return null;
  const value = values.reduce((sum, drag) => sum + drag, 0) / n;
  const squares = values.reduce((sum, drag) => sum + (drag - value) ** 2, 0);
  return { value, standardError: Math.sqrt(squares / (n - 1) / n) };
}
