import { curvePointOf, estimateOf } from '../estimate.js';
import type { CurvePoint, Estimate } from '../result.js';
import { bendAt, legendre, legendreSlope, type TermName } from './columns.js';
import { varianceOf } from './covariance.js';
import type { Identification } from './identify.js';
import type { ErrorKind, ModelErrors } from './model-errors.js';
import type { ShapeName } from './problem.js';

/** A value with its derivatives by the fit's parameters [terms | shapes]. */
interface Propagated {
  readonly value: number;
  readonly by: Float64Array;
}

/** The lag is not known better than this share of a grid step, between whose points regressors are straight lines. */
const lagGrain = 0.04;

/**
 * Turns an identification into estimates; null where a parameter the estimate needs was left out of the fit.
 * @param modelErrors factors on standard errors for what clusters do not show, see `modelErrorsOf`
 */
export function estimatesOf(identification: Identification, modelErrors: ModelErrors) {
  const { problem, fit, covariance, kernelLag_s } = identification;
  const { terms, shapes, span } = problem;
  const p = terms.length;
  const { size } = covariance;
  const at = (name: TermName) => terms.indexOf(name);
  const atShape = (name: ShapeName) => (shapes.includes(name) ? p + shapes.indexOf(name) : -1);
  const gradient = (entries: readonly (readonly [number, number])[]) => {
    const by = new Float64Array(size);
    for (const [index, value] of entries) by[index] += value;
    return by;
  };

  /** @param beside a standard error of other origin, unit as the value's */
  function estimate({ value, by }: Propagated, kind: ErrorKind, beside = 0): Estimate {
    const clustered = Math.sqrt(Math.max(0, varianceOf(covariance, by)));
    const standardError = Math.hypot(modelErrors[kind] * clustered, beside);
    return estimateOf(value, standardError, covariance.degreesOfFreedom(by));
  }

  const term = (name: TermName, kind: ErrorKind, beside = 0): Estimate | null =>
    at(name) < 0
      ? null
      : estimate({ value: fit.coefficients[at(name)], by: gradient([[at(name), 1]]) }, kind, beside);

  const up = fit.coefficients[at('dragCompression')];
  const down = fit.coefficients[at('dragRebound')];
  const mean = 0.5 * (up + down);
  const half: readonly (readonly [number, number])[] = [
    [at('dragCompression'), 0.5],
    [at('dragRebound'), 0.5],
  ];
  const excess = fit.shape.breakawayExcess;
  const lagError_s = Math.hypot(kernelLag_s, lagGrain * problem.grid.step_s);
  const meanLinear =
    0.5 * ((fit.coefficients[at('linearCompression')] ?? 0) + (fit.coefficients[at('linearRebound')] ?? 0));

  /**
   * Damping alone at a signed velocity, force signed by velocity, no higher than its ceiling at mid-stroke; drag of
   * the direction added on request.
   */
  function forceAt(velocity_m_per_s: number, withDrag: boolean): Propagated {
    const v = velocity_m_per_s;
    const side = v > 0 ? 'Compression' : 'Rebound';
    let entries: [number, number][] = [];
    if (at(`linear${side}`) >= 0) entries.push([at(`linear${side}`), v]);
    if (at(`quadratic${side}`) >= 0) entries.push([at(`quadratic${side}`), v * Math.abs(v)]);
    if (at(`bend${side}`) >= 0) entries.push([at(`bend${side}`), bendAt(span, v)]);
    let value = 0;
    for (const [index, factor] of entries) value += fit.coefficients[index] * factor;
    const ceiling = fit.coefficients[at('ceiling')] ?? Number.POSITIVE_INFINITY;
    if (v > 0 && value > ceiling) {
      value = ceiling;
      entries = [[at('ceiling'), 1]];
    }
    if (withDrag) {
      const index = at(`drag${side}`);
      const squared = (v / fit.shape.stribeckSpeed_m_per_s) ** 2;
      const fall = Math.sign(v) * Math.exp(-squared);
      const level = Math.sign(v) + excess * fall;
      const drag = fit.coefficients[index];
      value += drag * level;
      entries.push([index, level]);
      if (atShape('excess') >= 0)
        entries.push(
          [atShape('excess'), drag * fall],
          [atShape('stribeck'), drag * excess * fall * 2 * squared],
        );
    }
    return { value, by: gradient(entries) };
  }

  const curvePoint = (velocity_m_per_s: number, withDrag: boolean): CurvePoint =>
    curvePointOf(velocity_m_per_s, estimate(forceAt(velocity_m_per_s, withDrag), 'damping'));

  const gasNames = (['gas1', 'gas2', 'gas3', 'gas4'] as const).filter((name) => at(name) >= 0);
  const stroke_m = span.high_m - span.low_m;

  return {
    friction: {
      mean_N: estimate({ value: mean, by: gradient(half) }, 'meanDrag'),
      compression_N: term('dragCompression', 'drag'),
      rebound_N: term('dragRebound', 'drag'),
      breakaway_N:
        atShape('excess') < 0
          ? null
          : estimate(
              {
                value: mean * (1 + excess),
                by: gradient([
                  ...half.map(([index, share]) => [index, share * (1 + excess)] as const),
                  [atShape('excess'), mean],
                ]),
              },
              'drag',
            ),
    },
    compression: {
      linear: term('linearCompression', 'damping'),
      quadratic: term('quadraticCompression', 'damping'),
    },
    rebound: { linear: term('linearRebound', 'damping'), quadratic: term('quadraticRebound', 'damping') },
    gasOffset_N: estimate(
      gasAt(-1, (name) => legendre[name]),
      'gas',
    ),
    // Without a straight part there is no rate: the terms that are left are flat, or nearly, at mid-stroke.
    gasRate_N_per_mm: at('gas1') < 0 ? null : estimate(gasSlope(0), 'gasRate'),
    // Apparent mass is m − c·lag: what is not known of the lag is not known of the mass.
    mass_kg: term('mass', 'mass', lagError_s * meanLinear),
    lag_ms:
      atShape('lag') < 0
        ? null
        : estimate(
            { value: 1e3 * fit.shape.lag_s, by: gradient([[atShape('lag'), 1e3]]) },
            'lag',
            1e3 * lagError_s,
          ),
    curvePoint,
  };

  function gasAt(
    z: number,
    polynomial: (name: (typeof gasNames)[number]) => (z: number) => number,
  ): Propagated {
    const entries: [number, number][] = [[at('offset'), 1]];
    for (const name of gasNames) entries.push([at(name), polynomial(name)(z)]);
    let value = 0;
    for (const [index, factor] of entries) value += fit.coefficients[index] * factor;
    return { value, by: gradient(entries) };
  }

  function gasSlope(z: number): Propagated {
    const perMillimetre = (2 / stroke_m) * 1e-3;
    const entries = gasNames.map(
      (name) => [at(name), legendreSlope[name](z) * perMillimetre] as [number, number],
    );
    let value = 0;
    for (const [index, factor] of entries) value += fit.coefficients[index] * factor;
    return { value, by: gradient(entries) };
  }
}
