import { type Direction, directions, type ForceCurve } from '../curves/force-curve.js';
import { type TwoTerms, twoTerms } from '../curves/two-terms.js';
import { estimateOf } from '../estimate.js';
import { levenbergMarquardt } from '../numerics/levenberg-marquardt.js';
import { choleskyFactor, choleskyInverse } from '../numerics/linear.js';
import type { Oil } from '../oil/oil.js';
import { thinning } from '../oil/oil.js';
import type { Estimate } from '../result.js';
import type { Piston } from './piston.js';
import { type Fluid, type PistonUnknowns, pistonFlow } from './piston-flow.js';

/** Logarithms of [viscosity at the curve's temperature m²/s, gap m, loss in compression, loss in rebound]. */
export type BlankPoint = readonly [number, number, number, number];

/** What a measured curve says about the parts of a piston that calipers do not see. */
export interface Blank {
  readonly best: BlankPoint;
  /** Points one standard error away along four independent ways to err. */
  readonly modes: readonly BlankPoint[];
  readonly viscosity_m2_per_s: Estimate;
  /** Radial gap of a piston that sits half-way off centre. */
  readonly gap_m: Estimate;
  /** Velocity heads. */
  readonly loss: Readonly<Record<Direction, Estimate>>;
  /** Largest relative distance between the measured curve's linear or quadratic part and the model's. */
  readonly misfit: number;
}

/** Logarithmic mean and standard deviation that stand for what is known before measuring. */
interface Prior {
  readonly mean: number;
  readonly deviation: number;
}

/**
 * What small shocks' pistons are like, as far as is known without measuring: common practice and judgement, no
 * source. All are wide, and the measured curve outweighs them where it can tell. The two directions' losses share
 * most of their causes (kinetic energy and a free exit, 1.5 velocity heads or more) and differ by their edges.
 */
const usualGap: Prior = { mean: Math.log(0.06e-3), deviation: 0.7 };
const usualLoss: Prior = { mean: Math.log(1.85), deviation: 0.3 };
const lossDifference: Prior = { mean: 0, deviation: 0.2 };
const unknownViscosity: Prior = { mean: Math.log(250e-6), deviation: 1.2 };
/** A gap measured with a feeler or as half a difference of two calipers. */
const measuredGap = 0.15;

/** Nobody knows how a piston sits; half-way off centre its leak is 1.375 times the centred one's. */
export const assumedEccentricity = 0.5;

/** The flow model is no better than this, relative, in a curve's linear and quadratic part. */
const modelError = { linear: 0.003, quadratic: 0.015 };

const shares = [0.15, 0.3, 0.45, 0.6, 0.75, 0.9, 1];

/**
 * Finds gap, end losses and viscosity of a blank from its damping curve.
 * @param curve damping, with the band that counts as its uncertainty
 * @param piston geometry, accepted by `refusePiston`
 * @param oil in the piston, or null where it is not known: viscosity and gap are then hard to tell apart
 * @returns the most likely values with their intervals
 * Numerical notes: each direction gives two numbers, its linear and its quadratic part; they are matched by those of
 *   the model's curve over the same speeds, with what is known beforehand as further observations (maximum a
 *   posteriori). The covariance is that of the linearised problem.
 */
export function identifyBlank(curve: ForceCurve, piston: Piston, oil: Oil | null): Blank {
  const measured = directions.map((direction) => twoTerms(curve, direction));
  const priors = priorsOf(piston, oil, curve.temperature_degC);
  const density = oil?.density25_kg_per_m3 ?? 968;
  const distances = (out: Float64Array, x: ArrayLike<number>) => {
    let n = 0;
    measured.forEach((terms, side) => {
      if (!terms) return;
      const model = modelTerms(directions[side], terms, piston, density, x);
      for (const distance of whitened(terms, model)) out[n++] = distance;
    });
    const beforehand = [x[0], x[1], (x[2] + x[3]) / 2, x[2] - x[3]];
    priors.forEach(({ mean, deviation }, i) => {
      out[n++] = (beforehand[i] - mean) / deviation;
    });
  };
  const residualCount =
    priors.length + measured.reduce((sum, t) => sum + (t ? (t.quadraticKnown ? 2 : 1) : 0), 0);
  const fit = levenbergMarquardt({
    start: [priors[0].mean, priors[1].mean, usualLoss.mean, usualLoss.mean],
    upper: [0, Math.log(0.049 * piston.bore_m), Math.log(10), Math.log(10)],
    typicalSize: [1e-3, 1e-2, 1e-2, 1e-2],
    stepTolerance: 1e-9,
    residualCount,
    residualsInto: distances,
  });
  const best = [...fit.parameters] as unknown as BlankPoint;
  const root = rootOfCovariance(best, distances, residualCount);
  const standard = (i: number) => Math.hypot(...root[i]);
  const positive = (i: number) => {
    const value = Math.exp(best[i]);
    return estimateOf(value, value * standard(i));
  };
  return {
    best,
    modes: [0, 1, 2, 3].map((k) => best.map((value, i) => value + root[i][k]) as unknown as BlankPoint),
    viscosity_m2_per_s: positive(0),
    gap_m: positive(1),
    loss: { compression: positive(2), rebound: positive(3) },
    misfit: Math.max(
      0,
      ...measured.flatMap((terms, side) =>
        terms ? relativeDistances(terms, modelTerms(directions[side], terms, piston, density, best)) : [],
      ),
    ),
  };
}

/** The unknowns that a point stands for. */
export function unknownsOf([, gap, compression, rebound]: ArrayLike<number> &
  Iterable<number>): PistonUnknowns {
  return {
    gap_m: Math.exp(gap),
    eccentricity: assumedEccentricity,
    loss: { compression: Math.exp(compression), rebound: Math.exp(rebound) },
  };
}

/** What is known beforehand of viscosity, gap, and the losses' mean and difference. */
function priorsOf(piston: Piston, oil: Oil | null, temperature_degC: number | null): Prior[] {
  const thin = temperature_degC === null ? 1 : thinning(oil, temperature_degC);
  const viscosity = oil
    ? { mean: Math.log(oil.viscosity25_m2_per_s * thin), deviation: Math.max(0.002, oil.uncertainty) }
    : unknownViscosity;
  const gap = piston.gap_m === null ? usualGap : { mean: Math.log(piston.gap_m), deviation: measuredGap };
  return [viscosity, gap, usualLoss, lossDifference];
}

type Parts = Pick<TwoTerms, 'linear_Ns_per_m' | 'quadratic_Ns2_per_m2'>;

/** Linear and quadratic part of the model's curve, over the speeds of the measured one. */
function modelTerms(
  direction: Direction,
  { fastest_m_per_s, quadraticKnown }: TwoTerms,
  piston: Piston,
  density_kg_per_m3: number,
  x: ArrayLike<number>,
): Parts {
  const fluid: Fluid = { viscosity_m2_per_s: Math.exp(x[0]), density_kg_per_m3 };
  const { force } = pistonFlow(piston, fluid, unknownsOf(Array.from(x)));
  const sign = direction === 'compression' ? 1 : -1;
  // Least squares of a·v + b·v² (or a·v) with residuals relative to v, so that all speeds count.
  let [n, s1, s2, f0, f1] = [0, 0, 0, 0, 0];
  for (const share of shares) {
    const v = share * fastest_m_per_s;
    const perSpeed = Math.abs(force(sign * v).force_N) / v;
    n += 1;
    s1 += v;
    s2 += v * v;
    f0 += perSpeed;
    f1 += perSpeed * v;
  }
  if (!quadraticKnown) return { linear_Ns_per_m: f0 / n, quadratic_Ns2_per_m2: 0 };
  const quadratic = (n * f1 - s1 * f0) / (n * s2 - s1 * s1);
  return { linear_Ns_per_m: (f0 - quadratic * s1) / n, quadratic_Ns2_per_m2: quadratic };
}

/** Distances of the model from the measured parts in units of their joint standard errors. */
function whitened(terms: TwoTerms, model: Parts): number[] {
  const [[first], [slope, second]] = terms.errors;
  const linearError = modelError.linear * terms.linear_Ns_per_m;
  const quadraticError = Math.max(
    modelError.quadratic * Math.abs(terms.quadratic_Ns2_per_m2),
    (modelError.linear * terms.linear_Ns_per_m) / terms.fastest_m_per_s,
  );
  const a = Math.hypot(first, linearError);
  const cross = (first * slope) / a;
  const b = Math.sqrt(Math.max(0, slope ** 2 + second ** 2 + quadraticError ** 2 - cross ** 2));
  const da = (model.linear_Ns_per_m - terms.linear_Ns_per_m) / a;
  if (!terms.quadraticKnown) return [da];
  return [da, (model.quadratic_Ns2_per_m2 - terms.quadratic_Ns2_per_m2 - cross * da) / b];
}

const relativeDistances = (terms: TwoTerms, model: Parts): number[] => [
  Math.abs(model.linear_Ns_per_m / terms.linear_Ns_per_m - 1),
  terms.quadraticKnown && terms.quadratic_Ns2_per_m2 !== 0
    ? Math.abs(model.quadratic_Ns2_per_m2 / terms.quadratic_Ns2_per_m2 - 1)
    : 0,
];

/** Rows L with covariance L·Lᵀ of the whitened problem at its minimum. */
function rootOfCovariance(
  best: BlankPoint,
  distances: (out: Float64Array, x: ArrayLike<number>) => void,
  residualCount: number,
): number[][] {
  const p = best.length;
  const step = 1e-4;
  const columns = best.map((_, j) => {
    const [up, down] = [step, -step].map((shift) => {
      const out = new Float64Array(residualCount);
      distances(
        out,
        best.map((value, i) => (i === j ? value + shift : value)),
      );
      return out;
    });
    return up.map((value, i) => (value - down[i]) / (2 * step));
  });
  const information = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let j = 0; j < p; j++)
      information[i * p + j] = columns[i].reduce((sum, value, k) => sum + value * columns[j][k], 0);
  const factor = choleskyFactor(information, p);
  const root = factor && choleskyFactor(choleskyInverse(factor, p), p);
  if (!root) throw new Error('priors keep the information positive definite');
  return best.map((_, i) => best.map((_, k) => root[i * p + k]));
}
