import { averagingsOf } from '../identification/converter-kernel.js';
import type { RigDescription, Trace } from '../trace.js';

/** Instants as they are when what they belong to came late by so much. */
export const sooner = (time_s: Float64Array, delay_s: number): Float64Array =>
  delay_s === 0 ? time_s : time_s.map((t) => t - delay_s);

/** Delay of a converter that averages over whole conversions, s; 0 where it is not declared. */
const converterDelay_s = ({ kernel, conversionPeriod_s }: RigDescription): number =>
  kernel === null ? 0 : (averagingsOf[kernel] * (conversionPeriod_s ?? 0)) / 2;

/** A trace whose force has no delay left that its converter is known for. */
export function withoutConverterDelay(trace: Trace): Trace {
  const { time_s, force_N } = trace.force;
  return { ...trace, force: { time_s: sooner(time_s, converterDelay_s(trace.rig)), force_N } };
}
