import {
  type Corner,
  type CornerOverview,
  type CornerRefusal,
  type CornerWarning,
  type DropRefusal,
  type Estimate,
  type ForceCurve,
  type FreeResponse,
  type Landing,
  overviewOf,
  pushAndRelease,
  type RecordingAnalysis,
} from '../../analysis/index.js';
import type { NamedBuild } from './compare.js';
import { type BuildRefusal, measuredBuild } from './measured-build.js';

/** A corner without its shock, whose damping and drag come from recordings. */
export type CornerParts = Omit<Corner, 'label' | 'damping' | 'drag_N' | 'sprung_kg'>;

export interface CornerQuestion {
  readonly builds: readonly NamedBuild[];
  /** What the corner carries, as with different packs. */
  readonly packs: readonly { readonly name: string; readonly sprung_kg: number }[];
  readonly parts: CornerParts;
  readonly drop_m?: number;
  readonly speeds_m_per_s?: readonly number[];
}

export interface AnsweredCorner {
  readonly build: string;
  readonly pack: string;
  readonly sprung_kg: number;
  readonly sag_mm: number;
  readonly shockSag_mm: number;
  /** By how much drag lets it stand higher or lower. */
  readonly sagDrag_mm: number;
  readonly state: CornerOverview['standing']['state'];
  readonly wheelRate_N_per_mm: number;
  readonly frequency_Hz: number;
  readonly wheelHop_Hz: number | null;
  readonly critical_Ns_per_m: number;
  /** By peak speed of the shock. */
  readonly dampingRatios: CornerOverview['ratios'];
  readonly freeResponse: {
    readonly push_mm: number;
    readonly extremes_mm: readonly number[];
    readonly dampingRatio: number | null;
    readonly frequency_Hz: number | null;
    readonly restsOff_mm: number;
    readonly extrapolated: boolean;
  };
  readonly landing: {
    readonly drop_mm: number;
    readonly impact_m_per_s: number;
    readonly travelUsed_mm: number;
    readonly stopReached: boolean;
    readonly energyAtStop_J: number;
    readonly speedAtStop_m_per_s: number;
    readonly peakLoad: number;
    readonly fastestShock_m_per_s: number;
    readonly extrapolated: boolean;
  } | null;
  readonly warnings: readonly CornerWarning[];
}

export interface CornerAnswer {
  readonly parts: CornerParts;
  readonly corners: readonly AnsweredCorner[];
  /** For each pack after the first the rate that keeps the first one's frequency, N/mm. */
  readonly springForPack: readonly { readonly pack: string; readonly rate_N_per_mm: number }[];
}

export type CornerOutcome =
  | { readonly ok: true; readonly answer: CornerAnswer }
  | {
      readonly ok: false;
      /** The build, where a recording is at fault. */
      readonly build: string | null;
      readonly refusal:
        | BuildRefusal
        | { readonly code: string; readonly found: string; readonly wanted: string };
    };

/** Share of the sag that a body is pushed down by, to see it swing. */
const push = 0.5;

/** How a corner stands, swings and lands with each build and each pack. */
export function cornerAnswer({
  builds,
  packs,
  parts,
  drop_m,
  speeds_m_per_s,
}: CornerQuestion): CornerOutcome {
  const corners: AnsweredCorner[] = [];
  for (const { name, analyses } of builds) {
    const shock = shockOfCorner(analyses);
    if (!shock.ok) return { ok: false, build: name, refusal: shock.refusal };
    for (const { name: pack, sprung_kg } of packs) {
      const corner = cornerOf(name, { ...parts, sprung_kg }, shock);
      const seen = seenCorner(corner, pack, { drop_m, speeds_m_per_s });
      if (!seen.ok) return { ok: false, build: null, refusal: seen.refusal };
      corners.push(seen.answered);
    }
  }
  const [first, ...heavier] = packs;
  return {
    ok: true,
    answer: {
      parts,
      corners,
      springForPack: heavier.map(({ name, sprung_kg }) => ({
        pack: name,
        rate_N_per_mm: (1e-3 * parts.spring_N_per_m * sprung_kg) / first!.sprung_kg,
      })),
    },
  };
}

/** What a corner needs of its shock, with intervals. */
export interface CornerShock {
  readonly damping: ForceCurve;
  readonly drag: { readonly compression: Estimate; readonly rebound: Estimate };
}

export type CornerShockOutcome =
  | ({ readonly ok: true } & CornerShock)
  | { readonly ok: false; readonly refusal: BuildRefusal };

/** Damping and drag of a build; of the mean drag where the directions are not known apart. */
export function shockOfCorner(analyses: readonly RecordingAnalysis[]): CornerShockOutcome {
  const measured = measuredBuild(analyses);
  if (!measured.ok) return measured;
  const { damping, friction } = measured.build;
  const compression = friction.compression_N ?? friction.mean_N;
  const rebound = friction.rebound_N ?? friction.mean_N;
  return compression && rebound
    ? { ok: true, damping, drag: { compression, rebound } }
    : {
        ok: false,
        refusal: { code: 'no-drag', found: 'a build whose drag is not known', wanted: 'strokes both ways' },
      };
}

/** A corner with a measured shock. */
export const cornerOf = (
  label: string,
  parts: CornerParts & Pick<Corner, 'sprung_kg'>,
  { damping, drag }: CornerShock,
): Corner => ({
  label,
  ...parts,
  damping,
  drag_N: { compression: drag.compression.value, rebound: drag.rebound.value },
});

export interface CornerPlay {
  readonly drop_m?: number | undefined;
  readonly speeds_m_per_s?: readonly number[] | undefined;
  /** Of the body from its standing height; half of its sag where it is left out. */
  readonly push_m?: number;
}

/** A corner's answer with the motions that it was read from. */
export type SeenCornerOutcome =
  | {
      readonly ok: true;
      readonly answered: AnsweredCorner;
      readonly response: FreeResponse;
      readonly landing: Landing | null;
    }
  | { readonly ok: false; readonly refusal: CornerRefusal | DropRefusal };

/** How one corner stands, swings and lands. */
export function seenCorner(
  corner: Corner,
  pack: string,
  { drop_m, speeds_m_per_s, push_m }: CornerPlay,
): SeenCornerOutcome {
  const seen = overviewOf(corner, {
    ...(drop_m === undefined ? {} : { drop_m }),
    ...(speeds_m_per_s ? { speeds_m_per_s } : {}),
  });
  if (!seen.ok) return seen;
  const pushed_m = push_m ?? push * seen.overview.standing.sag_m;
  const pushed = pushAndRelease(corner, pushed_m);
  if (!pushed.ok) return pushed;
  return {
    ok: true,
    answered: answered(corner.label, pack, seen.overview, pushed_m, pushed.response),
    response: pushed.response,
    landing: seen.overview.landing,
  };
}

function answered(
  build: string,
  pack: string,
  { corner, standing, ratios, landing, warnings }: CornerOverview,
  push_m: number,
  response: FreeResponse,
): AnsweredCorner {
  return {
    build,
    pack,
    sprung_kg: corner.sprung_kg,
    sag_mm: 1e3 * standing.sag_m,
    shockSag_mm: 1e3 * standing.shockSag_m,
    sagDrag_mm: 1e3 * standing.sagDrag_m,
    state: standing.state,
    wheelRate_N_per_mm: 1e-3 * standing.wheelRate_N_per_m,
    frequency_Hz: standing.frequency_Hz,
    wheelHop_Hz: standing.wheelHop_Hz,
    critical_Ns_per_m: standing.critical_Ns_per_m,
    dampingRatios: ratios,
    freeResponse: {
      push_mm: 1e3 * push_m,
      extremes_mm: response.extremes_m.map((at) => 1e3 * at),
      dampingRatio: response.dampingRatio,
      frequency_Hz: response.frequency_Hz,
      restsOff_mm: 1e3 * response.restsOff_m,
      extrapolated: response.extrapolated,
    },
    landing: landing && landed(landing),
    warnings,
  };
}

const landed = (landing: Landing): AnsweredCorner['landing'] => ({
  drop_mm: 1e3 * landing.drop_m,
  impact_m_per_s: landing.impact_m_per_s,
  travelUsed_mm: 1e3 * landing.travelUsed_m,
  stopReached: landing.stopReached,
  energyAtStop_J: landing.energyAtStop_J,
  speedAtStop_m_per_s: landing.speedAtStop_m_per_s,
  peakLoad: landing.peakLoad,
  fastestShock_m_per_s: landing.fastestShock_m_per_s,
  extrapolated: landing.extrapolated,
});
