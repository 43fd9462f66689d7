import type {
  CrankCalibration,
  ForceCalibration,
  LengthCalibration,
  SpringCheck,
  UnloadedRun,
} from '../../../analysis/index.js';
import { positionFromCrank_m, quantityOf } from '../../../analysis/index.js';
import type { ApiFoundPart } from '../../server/api.js';

/** One reading beside what the calibration makes of it. */
export interface FittedReading {
  /** N or m. */
  readonly known: number;
  readonly counts: number;
  /** What the calibration says less what is known. */
  readonly off: number;
  readonly way: 'up' | 'down';
}

/** What a part was found from, as its procedure keeps it; null where nobody kept it. */
export type Evidence =
  | { readonly kind: 'force'; readonly calibration: ForceCalibration; readonly drift: null }
  | { readonly kind: 'position'; readonly calibration: LengthCalibration }
  | { readonly kind: 'crank'; readonly calibration: CrankCalibration; readonly conditions: CrankReadings }
  | { readonly kind: 'lag'; readonly check: SpringCheck }
  | { readonly kind: 'mass'; readonly run: UnloadedRun };

interface CrankReadings {
  readonly counts: readonly number[];
  readonly position_m: readonly number[];
}

/** Reads what the logbook keeps beside a part. */
export function evidenceOf({ part, evidence }: Pick<ApiFoundPart, 'part' | 'evidence'>): Evidence | null {
  if (typeof evidence !== 'object' || evidence === null) return null;
  const kept = evidence as Record<string, never>;
  if (part === 'lag') return kept.check ? { kind: 'lag', check: kept.check } : null;
  if (part === 'movingMass') return kept.run ? { kind: 'mass', run: kept.run } : null;
  if (!kept.calibration) return null;
  if (part === 'force') return { kind: 'force', calibration: kept.calibration, drift: kept.drift ?? null };
  return 'radius_m' in (kept.calibration as object)
    ? { kind: 'crank', calibration: kept.calibration, conditions: kept.conditions }
    : { kind: 'position', calibration: kept.calibration };
}

/** The readings of a calibration with how far it misses each; none for what is not found from readings. */
export function fittedReadings(evidence: Evidence): FittedReading[] {
  if (evidence.kind === 'crank') return crankReadings(evidence.calibration, evidence.conditions);
  if (evidence.kind !== 'force' && evidence.kind !== 'position') return [];
  const { runs, scale } = evidence.calibration;
  const zero_counts = runs.reduce((sum, run) => sum + (run.zero_counts ?? 0), 0) / runs.length;
  return runs.flatMap(({ points }) =>
    points.map(({ value, direction, deflection_counts }) => ({
      known: value,
      counts: zero_counts + deflection_counts,
      off: quantityOf(zero_counts + deflection_counts, scale) - value,
      way: direction,
    })),
  );
}

/** Where the slide was measured has an origin of its own, which is fitted away. */
function crankReadings({ scale }: CrankCalibration, { counts, position_m }: CrankReadings): FittedReading[] {
  const misses = counts.map((count, i) => positionFromCrank_m(count, scale) - position_m[i]!);
  const origin = misses.reduce((a, b) => a + b, 0) / misses.length;
  return counts.map((count, i) => ({
    known: position_m[i]! + origin,
    counts: count,
    off: misses[i]! - origin,
    way: 'up',
  }));
}
