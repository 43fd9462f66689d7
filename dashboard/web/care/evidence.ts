import type {
  CrankCalibration,
  ForceCalibration,
  LengthCalibration,
  SpringCheck,
  TemperatureDrift,
  UnloadedRun,
} from '../../../analysis/index.js';
import type { ApiFoundPart } from '../../server/api.js';

/** What a part was found from, as its procedure keeps it. */
export type Evidence =
  | {
      readonly kind: 'force';
      readonly calibration: ForceCalibration;
      readonly drift: TemperatureDrift | null;
    }
  | { readonly kind: 'position'; readonly calibration: LengthCalibration }
  | {
      readonly kind: 'crank';
      readonly calibration: CrankCalibration;
      readonly conditions: { readonly counts: readonly number[]; readonly position_m: readonly number[] };
    }
  | { readonly kind: 'lag'; readonly check: SpringCheck }
  | { readonly kind: 'mass'; readonly run: UnloadedRun };

/** Reads what the logbook keeps beside a part; null where nobody kept it. */
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
