import type { Corner, CornerRefusal, DropRefusal, Estimate } from '../../analysis/index.js';
import type { NamedBuild } from './compare.js';
import {
  type AnsweredCorner,
  type CornerParts,
  cornerOf,
  type SeenCornerOutcome,
  seenCorner,
  shockOfCorner,
} from './corner.js';
import { dampingRatiosOf, frequencyOf, type UncertainDampingRatio } from './corner-intervals.js';
import type { BuildRefusal } from './measured-build.js';

/** A spring as it sits on a shock; a rate that was typed has an interval of no width. */
export interface CornerSpring {
  readonly name: string;
  readonly rate_N_per_m: Estimate;
  /** Of spring and gas at full extension. */
  readonly preload_N: number;
}

export interface CornerSpringsQuestion {
  readonly build: NamedBuild;
  readonly parts: Omit<CornerParts, 'spring_N_per_m' | 'preload_N'> & Pick<Corner, 'sprung_kg'>;
  /** The one that is on it first. */
  readonly springs: readonly [CornerSpring, ...CornerSpring[]];
  readonly drop_m?: number | undefined;
}

/** What is drawn against time. */
export interface DrawnMotion {
  readonly time_s: readonly number[];
  readonly at_mm: readonly number[];
}

export interface SprungCorner {
  readonly spring: CornerSpring;
  /** Its pack is the spring's name. */
  readonly corner: AnsweredCorner;
  readonly frequency_Hz: Estimate;
  readonly dampingRatios: readonly UncertainDampingRatio[];
  /** Height of the body over where it stands, pushed down and let go; null where it does not stand free. */
  readonly swing: DrawnMotion | null;
  /** Shock travel used after landing; ends where the stop is met. */
  readonly landing: DrawnMotion | null;
}

export interface CornerSpringsAnswer {
  readonly travel_mm: number;
  readonly corners: readonly SprungCorner[];
}

export type CornerSpringsOutcome =
  | { readonly ok: true; readonly answer: CornerSpringsAnswer }
  | {
      readonly ok: false;
      readonly about: 'build' | 'corner';
      readonly refusal: BuildRefusal | CornerRefusal | DropRefusal;
    };

const speeds_m_per_s = [0.02, 0.05, 0.1, 0.2, 0.4];
/** The first hundredths of a second of a landing are the ones to look at. */
const mostPoints = 1000;

/** How a corner stands, swings and lands on one spring and on another, with the motions to draw. */
export function cornerSpringsAnswer({
  build,
  parts,
  springs,
  drop_m,
}: CornerSpringsQuestion): CornerSpringsOutcome {
  const shock = shockOfCorner(build.analyses);
  if (!shock.ok) return { ok: false, about: 'build', refusal: shock.refusal };
  const corners: SprungCorner[] = [];
  for (const spring of springs) {
    const { rate_N_per_m, preload_N, name } = spring;
    const onSpring = { ...parts, spring_N_per_m: rate_N_per_m.value, preload_N };
    const corner = cornerOf(build.name, onSpring, shock);
    // All are pushed down by as much as the first, or their motions could not be compared.
    const first = corners[0]?.corner.freeResponse.push_mm;
    const seen = seenCorner(corner, name, {
      drop_m,
      speeds_m_per_s,
      ...(first && { push_m: first / 1e3 }),
    });
    if (!seen.ok) return { ok: false, about: 'corner', refusal: seen.refusal };
    corners.push({
      spring,
      corner: seen.answered,
      frequency_Hz: frequencyOf(corner, rate_N_per_m),
      dampingRatios: dampingRatiosOf(corner, shock, rate_N_per_m, speeds_m_per_s),
      swing: swingOf(seen),
      landing: landingOf(seen),
    });
  }
  return { ok: true, answer: { travel_mm: 1e3 * parts.travel_m, corners } };
}

type Seen = Extract<SeenCornerOutcome, { ok: true }>;

function swingOf({ answered, response }: Seen): DrawnMotion | null {
  const [pushed_m] = response.extremes_m;
  if (answered.state !== 'free' || !pushed_m) return null;
  const { time_s, body_m } = response.motion;
  return drawn(
    time_s,
    body_m.map((at) => body_m[0]! - at - pushed_m),
  );
}

function landingOf({ landing }: Seen): DrawnMotion | null {
  return landing && drawn(landing.motion.time_s, landing.motion.shockTravel_m);
}

/** Every n-th point and the last, with digits enough for drawing. */
function drawn(time_s: Float64Array, at_m: Float64Array): DrawnMotion {
  const every = Math.max(1, Math.ceil(time_s.length / mostPoints));
  const kept = Array.from(time_s.keys()).filter((i) => i % every === 0 || i === time_s.length - 1);
  const rounded = (value: number) => Number(value.toPrecision(5));
  return { time_s: kept.map((i) => rounded(time_s[i]!)), at_mm: kept.map((i) => rounded(1e3 * at_m[i]!)) };
}
