import { bendAt, type Features, strokeCoordinate, type TermName, travelSinceReversal } from './columns.js';
import type { MotionGrid } from './motion-grid.js';
import type { FitProblem, Shape, ShapeName } from './problem.js';
import { commonSeal } from './seal-memory.js';
import { bestOf, type Fit, solve } from './solve.js';

/** A problem with what the shock was found to do beyond gas, drag and damping, and its fit. */
export interface Featured {
  readonly problem: FitProblem;
  readonly fit: Fit;
}

const ceilingTerms: readonly TermName[] = ['ceiling', 'ceilingRise'];

/** A feature must take this share of the residual sum of squares away, or it is not there. */
const leastShare = 0.4;

/**
 * Looks for air in the oil, a compression ceiling and contact at either end of the travel: each is tried alone, the
 * one that explains most is kept if it explains enough, and the others are tried once more beside it.
 * @param problem the search problem without features, and its fit
 * @param stride use every stride-th sample
 */
export function findFeatures(problem: FitProblem, fit: Fit, stride: number): Featured {
  let best: Featured = { problem, fit };
  if (!problem.terms.includes('linearCompression')) return tryOne(best, stride, [withStop]);
  for (let round = 0; round < 2; round++) {
    const next = tryOne(best, stride, [withAir, withCeiling, withStop]);
    if (next === best) break;
    best = next;
  }
  return best;
}

type Attempt = (from: Featured, stride: number) => Featured | null;

function tryOne(from: Featured, stride: number, attempts: readonly Attempt[]): Featured {
  let best = from;
  for (const attempt of attempts) {
    const found = attempt(from, stride);
    const needed = (1 - leastShare) * from.fit.rss;
    if (found && found.fit.rss < Math.min(needed, best.fit.rss)) best = found;
  }
  return best;
}

/** Glances look at every third of the samples that are searched on. */
const glanceStride = 3;
const spread = ({ rss, used }: Fit): number => rss / used;

/** A glance, or the beginning of a search, must lower the residual this far for the rest to be worth its time. */
const promising = 0.9;

function withAir({ problem, fit }: Featured, stride: number): Featured | null {
  if (problem.features.travel_m) return null;
  const travel_m = travelSinceReversal(problem.grid.position_m);
  const aired = extend(problem, { travel_m }, [], ['deadStroke', 'airPower']);
  // Without a dead stroke in the fit, its delay went into the lag and bent the seal: look with less of the one, and with
  // a common seal.
  const lag_s = fit.shape.lag_s;
  const starts = [{ lag_s }, { lag_s: 0.5 * lag_s }, { lag_s: 0 }, { ...commonSeal, lag_s: 0.5 * lag_s }];
  const looks = starts.flatMap((start) =>
    [0.25e-3, 0.6e-3, 1.6e-3].map((deadStroke_m) => ({ ...fit.shape, ...start, deadStroke_m })),
  );
  const start = bestOf(aired, looks, glanceStride * stride);
  const begun = start && spread(start) < 2 * spread(fit) ? solve(aired, start, stride, 5, 1e-3) : null;
  const found = begun && begun.rss < promising * fit.rss ? solve(aired, begun, stride, 16, 1e-4) : null;
  return found && { problem: aired, fit: found };
}

/**
 * Compression damping that stops rising: points stand at the ceiling where damping would exceed it. Which those are
 * depends on the fit, so the two are brought to agree in turn.
 */
function withCeiling({ problem, fit }: Featured, stride: number): Featured | null {
  if (problem.features.atCeiling) return null;
  const { velocity_m_per_s: v } = problem.grid;
  let fastest = 0;
  for (const value of v) fastest = Math.max(fastest, value);
  let best: Featured | null = null;
  for (const share of [0.45, 0.65, 0.85]) {
    const atCeiling = Float64Array.from(v, (value) => (value > share * fastest ? 1 : 0));
    const capped = extend(problem, { atCeiling }, ceilingTerms, []);
    const look = bestOf(capped, [fit.shape], glanceStride * stride);
    if (!look || spread(look) > promising * spread(fit)) continue;
    const found = settleCeiling(problem, fit.shape, atCeiling, stride, 4);
    if (found && (!best || found.fit.rss < best.fit.rss)) best = found;
  }
  return best;
}

/** Alternates between the fit and the set of points at the ceiling; null when no ceiling is left. */
function settleCeiling(
  problem: FitProblem,
  from: Shape,
  first: Float64Array,
  stride: number,
  rounds: number,
): Featured | null {
  let atCeiling = first;
  let shape = from;
  let found: Featured | null = null;
  for (let round = 0; round < rounds; round++) {
    const capped = extend(problem, { atCeiling }, ceilingTerms, []);
    const solved = solve(capped, { shape, coefficients: null }, stride, 8, 1e-4);
    if (!solved) return null;
    found = { problem: capped, fit: solved };
    shape = solved.shape;
    const next = pointsAtCeiling(found, problem.grid);
    if (!next.some((value) => value === 1)) return null;
    atCeiling = next;
  }
  return found;
}

/** The points at the ceiling on another grid of the same recording, as an earlier fit has them. */
export function withCeilingOn(problem: FitProblem, earlier: Featured): FitProblem {
  return { ...problem, features: { ...problem.features, atCeiling: pointsAtCeiling(earlier, problem.grid) } };
}

function pointsAtCeiling({ problem, fit }: Featured, grid: MotionGrid): Float64Array {
  const { span, terms } = problem;
  const of = (term: TermName) => fit.coefficients[terms.indexOf(term)] ?? 0;
  return Float64Array.from(grid.velocity_m_per_s, (v, k) => {
    if (v <= 0) return 0;
    const ceiling = of('ceiling') + of('ceilingRise') * strokeCoordinate(span, grid.position_m[k]);
    const damping =
      of('linearCompression') * v +
      of('quadraticCompression') * v * v +
      of('bendCompression') * bendAt(span, v);
    return damping > ceiling ? 1 : 0;
  });
}

function withStop({ problem, fit }: Featured, stride: number): Featured | null {
  if (problem.features.stopSide !== null) return null;
  const { low_m, high_m } = problem.span;
  let best: Featured | null = null;
  for (const stopSide of [1, -1] as const) {
    const stopped = extend(problem, { stopSide }, ['stop'], ['stop']);
    const looks: Shape[] = [0.004, 0.012, 0.03, 0.06, 0.1, 0.15, 0.2, 0.27, 0.35].map((share) => {
      const inward_m = share * (high_m - low_m);
      return { ...fit.shape, stop_m: stopSide > 0 ? high_m - inward_m : low_m + inward_m };
    });
    const start = bestOf(stopped, looks, glanceStride * stride);
    const found = start && spread(start) < 0.8 * spread(fit) ? solve(stopped, start, stride, 20, 1e-4) : null;
    const stiffness = found?.coefficients[stopped.terms.indexOf('stop')] ?? 0;
    if (found && stiffness > 0 && (!best || found.rss < best.fit.rss))
      best = { problem: stopped, fit: found };
  }
  return best;
}

function extend(
  problem: FitProblem,
  features: Partial<Features>,
  terms: readonly TermName[],
  shapes: readonly ShapeName[],
): FitProblem {
  return {
    ...problem,
    features: { ...problem.features, ...features },
    terms: [...problem.terms, ...terms.filter((term) => !problem.terms.includes(term))],
    shapes: [...problem.shapes, ...shapes.filter((name) => !problem.shapes.includes(name))],
  };
}
