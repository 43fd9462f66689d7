import {
  everywhere,
  type Oil,
  type PistonField,
  type RecordingAnalysis,
  type Refusal,
} from '../../analysis/index.js';
import {
  type BuildOutcome,
  type HoleAnswer,
  holeAnswer,
  knownSpread,
  type LearntSpread,
  type MatchAnswer,
  matchAnswer,
  measuredBuild,
  type OilAnswer,
  type OilDocument,
  type OilEntry,
  oilAnswer,
  oilDocument,
  oilsOf,
  type PistonEntry,
} from '../answers/index.js';
import type { PairCurves } from '../server/api.js';
import { oilOfBuild } from './oil-of-build.js';

/** A build and another one to match, an analysis a remount. */
export interface PairSides {
  readonly have: readonly RecordingAnalysis[];
  readonly target: readonly RecordingAnalysis[];
}

/** An answer, or what the recordings, the piston or the shelf cannot support, with the part of the question meant. */
export type Outcome<Answer> =
  | { readonly ok: true; readonly answer: Answer }
  | { readonly ok: false; readonly refusal: Refusal<string>; readonly where: string };

/** What is known of the oil in the build: what the question says, or else what the logbook says. */
export interface OilKnown {
  readonly oil_cSt: number | undefined;
  readonly properties: Readonly<Record<string, string | number | boolean>>;
  readonly shelf: readonly OilEntry[];
}

export interface MatchAsked extends OilKnown {
  readonly percent: number;
  readonly kind: 'damping' | 'total';
  /** Of the rig that made all the recordings, from other builds. */
  readonly spreads: readonly LearntSpread[];
}

export interface OilAsked extends OilKnown {
  readonly percent: number;
  readonly restore: 'damping' | 'total';
}

export interface HolesAsked extends OilKnown {
  readonly percent: number;
  readonly piston: PistonEntry;
  readonly ownedDrills_mm: readonly number[];
}

/** The oils of a shelf as answers show them. */
export function shelfOils(entries: readonly OilEntry[]): Outcome<readonly OilDocument[]> {
  const made = oilsOf(entries);
  return made.ok ? { ok: true, answer: made.oils.map(oilDocument) } : refused(made.refusal, 'shelf');
}

/** Whether a build meets a target. */
export function match({ have, target }: PairSides, asked: MatchAsked): Outcome<MatchAnswer> {
  return withOils(asked, (oil) => {
    const outcome = matchAnswer({
      analyses: have,
      target: { kind: 'recordings', analyses: target },
      tolerances: everywhere(asked.percent),
      kind: asked.kind,
      oil,
      known: knownSpread(asked.spreads),
    });
    if (outcome.ok) return outcome;
    return refused(outcome.refusal, outcome.side === 'build' ? 'query.have' : 'query.target');
  });
}

/** Which oil brings a build to a target. */
export function planOil(
  { have, target }: PairSides,
  asked: OilAsked,
): Outcome<{ readonly curves: PairCurves; readonly answer: OilAnswer }> {
  return withOils(asked, (present, shelf) => {
    const outcome = oilAnswer({
      have,
      want: { kind: 'recordings', analyses: target },
      present,
      shelf,
      tolerances: everywhere(asked.percent),
      restore: asked.restore === 'total' ? {} : null,
    });
    if (!outcome.ok) return refused(outcome.refusal, sides[outcome.side === 'have' ? 'have' : 'target']);
    const curves = curvesOf({ have, target }, asked.restore, present);
    return { ok: true, answer: { curves, answer: outcome.answer } };
  });
}

/** Which drill brings a build to a target. */
export function planHoles(
  { have, target }: PairSides,
  asked: HolesAsked,
): Outcome<{ readonly curves: PairCurves; readonly answer: HoleAnswer }> {
  return withOils(asked, (present, shelf) => {
    const { piston, ownedDrills_mm } = asked;
    const outcome = holeAnswer({
      have,
      want: { kind: 'recordings', analyses: target },
      piston,
      present,
      ownedDrills_mm,
      shelf,
      tolerances: everywhere(asked.percent),
    });
    if (!outcome.ok) {
      const { refusal, side } = outcome;
      const isPiston = 'field' in refusal;
      return refused(
        refusal,
        isPiston ? pistonPlaces[refusal.field] : sides[side === 'have' ? 'have' : 'target'],
      );
    }
    const curves = curvesOf({ have, target }, 'damping', present);
    return { ok: true, answer: { curves, answer: outcome.answer } };
  });
}

const sides = { have: 'query.have', target: 'query.target' } as const;

const pistonPlaces: Readonly<Record<PistonField, string>> = {
  bore_m: 'query.bore_mm',
  shaft_m: 'query.rod_mm',
  thickness_m: 'query.thickness_mm',
  holes: 'query.hole_mm',
  gap_m: 'query.gap_mm',
  countersunk_m: 'query.thickness_mm',
};

function withOils<Answer>(
  { oil_cSt, properties, shelf }: OilKnown,
  answer: (present: Oil | null, shelf: readonly Oil[]) => Outcome<Answer>,
): Outcome<Answer> {
  const made = oilsOf(shelf);
  if (!made.ok) return refused(made.refusal, 'shelf');
  const stated = oilOfBuild(oil_cSt, properties, made.oils);
  return stated.ok ? answer(stated.oil, made.oils) : refused(stated.refusal, 'query.oil_cSt');
}

/** Both builds as they are, at the target's temperature, for the picture; the answer says what would become of them. */
function curvesOf({ have, target }: PairSides, kind: 'damping' | 'total', oil: Oil | null): PairCurves {
  const wanted = measuredBuild(target);
  const at_degC = wanted.ok ? wanted.build.damping.temperature_degC : null;
  const present = measuredBuild(have, { oil, at_degC });
  const pointsOf = (outcome: BuildOutcome) => (outcome.ok && outcome.build[kind]?.points) || [];
  return { have: pointsOf(present), target: pointsOf(wanted) };
}

function refused({ code, found, wanted }: Refusal<string>, where: string) {
  return { ok: false, refusal: { code, found, wanted }, where } as const;
}
