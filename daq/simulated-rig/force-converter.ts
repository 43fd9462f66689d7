import type { ChannelKernel } from '../../firmware-protocol/index.js';

export type ConverterKernel = Exclude<ChannelKernel, 'unknown'>;

/** How many running means, each one conversion long, the converter puts in cascade. */
const orderOf: Readonly<Record<ConverterKernel, number>> = {
  none: 0,
  'one-conversion': 1,
  sinc3: 3,
  sinc4: 4,
};

/** Averages a continuous force into conversions. */
export interface ForceConverter {
  /** Takes the force at the end of the next step; true when that step ended a conversion. */
  step(force_N: number): boolean;
  /** The conversion that just ended, N. */
  readonly value_N: number;
}

/**
 * Starts a converter that has seen `force_N` for ever.
 * @param kernel its filter
 * @param steps steps per conversion
 * @param force_N constant force before the start
 * @returns the converter; a conversion is the mean over the last `order` conversions, weighted by the cascade of
 *   running means, or the force at its end where there is none
 * Notes: the cascade's weight is the cardinal B-spline of its order. Here its mass over each step is taken as the
 *   difference of its integral, the weights of one phase sum to 1 and the force is linear within a step, so a constant
 *   comes out exact and the error is of second order in the step.
 */
export function forceConverter(kernel: ConverterKernel, steps: number, force_N: number): ForceConverter {
  const order = orderOf[kernel];
  const weights = splineMasses(order, steps);
  const pending = new Float64Array(order);
  for (let j = 0; j < order; j++)
    for (const begun of weights.slice(0, order - 1 - j))
      pending[j] = pending[j]! + force_N * begun.reduce((sum, weight) => sum + weight, 0);
  let phase = 0;

  const converter = {
    value_N: force_N,
    before_N: force_N,
    step(force: number): boolean {
      const middle = 0.5 * (force + converter.before_N);
      converter.before_N = force;
      // pending[0] ends next and is in its last piece; pending[order - 1] has just begun.
      for (let j = 0; j < order; j++) pending[j] = pending[j]! + weights[order - 1 - j]![phase]! * middle;
      phase++;
      if (phase < steps) return false;
      phase = 0;
      if (order === 0) converter.value_N = force;
      else {
        converter.value_N = pending[0]!;
        pending.copyWithin(0, 1);
        pending[order - 1] = 0;
      }
      return true;
    },
  };
  return converter;
}

/** Mass of the B-spline of this order over each step, one array per conversion it spans. */
function splineMasses(order: number, steps: number): Float64Array[] {
  return Array.from({ length: order }, (_, piece) =>
    Float64Array.from({ length: steps }, (_, i) => {
      const from = piece + i / steps;
      return splineIntegral(order, from + 1 / steps) - splineIntegral(order, from);
    }),
  );
}

/** Integral from 0 to u of the cardinal B-spline of an order, by its truncated powers. */
function splineIntegral(order: number, u: number): number {
  let sum = 0;
  let choose = 1;
  for (let k = 0; k <= order && k < u; k++) {
    sum += choose * (u - k) ** order;
    choose *= -(order - k) / (k + 1);
  }
  let factorial = 1;
  for (let k = 2; k <= order; k++) factorial *= k;
  return sum / factorial;
}

/** Relative amplitude that the cascade lets pass at a frequency; its delay is half of its span. */
export function kernelGain(kernel: ConverterKernel, frequency_Hz: number, conversion_s: number): number {
  const phase = Math.PI * frequency_Hz * conversion_s;
  return phase === 0 ? 1 : (Math.sin(phase) / phase) ** orderOf[kernel];
}
