import { type Corner, type CornerRefusal, gravity_m_per_s2, refuseCorner } from './corner.js';
import { type DropRefusal, type Landing, landFrom } from './drop.js';
import { type DampingRatio, dampingRatios } from './equivalent-damping.js';
import { type Standing, standingOf } from './standing.js';

export type CornerWarningCode =
  /** Frequency far above what any vehicle rides at. */
  | 'far-too-stiff'
  /** The same, on a shock that sits on the axle: this is a spring for a lever-actuated suspension. */
  | 'lever-spring-on-axle'
  | 'far-too-soft'
  | 'topped-out'
  | 'bottomed'
  /** More than half of the damping at a slow speed is drag. */
  | 'drag-dominates';

export interface CornerWarning {
  readonly code: CornerWarningCode;
  readonly values: Readonly<Record<string, number>>;
}

export interface CornerOverview {
  readonly corner: Corner;
  readonly standing: Standing;
  readonly ratios: readonly DampingRatio[];
  readonly landing: Landing | null;
  readonly warnings: readonly CornerWarning[];
}

export type OverviewOutcome =
  | { readonly ok: true; readonly overview: CornerOverview }
  | { readonly ok: false; readonly refusal: CornerRefusal | DropRefusal };

export interface OverviewOptions {
  /** Peak speeds of the shock at which damping ratios are wanted. */
  readonly speeds_m_per_s?: readonly number[];
  readonly drop_m?: number;
}

/**
 * Small trucks ride at about 2 to 4 Hz; common practice, no source. Sag says the same in other words: 9.81/(2π·f)² is
 * 62 mm at 2 Hz, 16 mm at 4 Hz and 8 mm at 5.6 Hz.
 */
const usualFrequency_Hz = 3;
const stiffest_Hz = 5;
const softest_Hz = 1;
const axleRatio = 0.85;

/** What a corner is like: height, frequency, damping ratios, landing, and what is absurd about it. */
export function overviewOf(corner: Corner, options: OverviewOptions = {}): OverviewOutcome {
  const { speeds_m_per_s = [0.02, 0.05, 0.1, 0.2, 0.4], drop_m } = options;
  const refusal = refuseCorner(corner);
  if (refusal) return { ok: false, refusal };
  const standing = standingOf(corner);
  const ratios = dampingRatios(corner, standing, speeds_m_per_s);
  const landed = drop_m === undefined ? null : landFrom(corner, drop_m);
  if (landed && !landed.ok) return landed;
  return {
    ok: true,
    overview: {
      corner,
      standing,
      ratios,
      landing: landed?.landing ?? null,
      warnings: warningsOf(corner, standing, ratios),
    },
  };
}

function warningsOf(corner: Corner, standing: Standing, ratios: readonly DampingRatio[]): CornerWarning[] {
  const { frequency_Hz, state, wheelRate_N_per_m } = standing;
  const warnings: CornerWarning[] = [];
  if (frequency_Hz > stiffest_Hz) {
    const ratioThatSuits = corner.motionRatio * (usualFrequency_Hz / frequency_Hz);
    const rateThatSuits_N_per_m = corner.spring_N_per_m * (usualFrequency_Hz / frequency_Hz) ** 2;
    warnings.push({
      code: corner.motionRatio >= axleRatio ? 'lever-spring-on-axle' : 'far-too-stiff',
      values: {
        frequency_Hz,
        sagUnderWeight_m: (corner.sprung_kg * gravity_m_per_s2) / wheelRate_N_per_m,
        ratioThatSuits,
        rateThatSuits_N_per_m,
      },
    });
  }
  if (frequency_Hz < softest_Hz) warnings.push({ code: 'far-too-soft', values: { frequency_Hz } });
  if (state !== 'free') warnings.push({ code: state, values: { sag_m: standing.sag_m } });
  const slow = ratios.find(({ speed_m_per_s }) => speed_m_per_s >= 0.1);
  if (slow && slow.dragShare > 0.5)
    warnings.push({
      code: 'drag-dominates',
      values: { speed_m_per_s: slow.speed_m_per_s, dragShare: slow.dragShare },
    });
  return warnings;
}
