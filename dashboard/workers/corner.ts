import { type Corner, type RecordingAnalysis, scaleEstimate } from '../../analysis/index.js';
import {
  type CornerSpring,
  type CornerSpringsAnswer,
  type CornerSpringsQuestion,
  cornerSpringsAnswer,
  springAnswer,
} from '../answers/index.js';
import type { Outcome } from './next-step.js';
import { type ReadTrace, traced } from './traced.js';

export interface CornerSides {
  readonly have: readonly RecordingAnalysis[];
  /** The recording of the present spring's pull, and of the proposed one's, where they were pulled. */
  readonly pull: number | null;
  readonly proposedPull: number | null;
}

/** A spring as it is asked about: its rate typed, or to be read from its pull. */
export interface AskedSpring {
  readonly name: string;
  readonly rate_N_per_m: number | null;
  /** Null: what its pull says, or none. */
  readonly preload_N: number | null;
}

export interface CornerAsked extends Omit<CornerSpringsQuestion, 'build' | 'springs'> {
  readonly build: string;
  readonly present: AskedSpring;
  readonly proposed: AskedSpring | null;
}

/** How a corner stands, swings and lands on the present spring and on the proposed one. */
export function corner(
  { have, pull, proposedPull }: CornerSides,
  { build, present, proposed, ...asked }: CornerAsked,
  read: ReadTrace,
): Outcome<CornerSpringsAnswer> {
  const first = springOf(present, pull, 'pull', read);
  if (!first.ok) return first;
  const second = proposed && springOf(proposed, proposedPull, 'proposed_pull', read);
  if (second && !second.ok) return second;
  const outcome = cornerSpringsAnswer({
    ...asked,
    build: { name: build, analyses: have },
    springs: [first.answer, ...(second ? [second.answer] : [])],
  });
  if (outcome.ok) return outcome;
  const { refusal } = outcome;
  const where = 'field' in refusal ? (places[refusal.field as keyof typeof places] ?? 'have') : 'have';
  return { ok: false, refusal, where: `query.${where}` };
}

const places: Readonly<Partial<Record<keyof Corner | 'drop_m', string>>> = {
  sprung_kg: 'mass_g',
  unsprung_kg: 'unsprung_g',
  motionRatio: 'motion_ratio',
  motionRatioSlope_per_m: 'ratio_slope_per_m',
  spring_N_per_m: 'rate',
  preload_N: 'preload_N',
  tyre_N_per_m: 'tyre_rate',
  travel_m: 'travel_mm',
  drop_m: 'drop_mm',
};

function springOf(
  { name, rate_N_per_m, preload_N }: AskedSpring,
  pull: number | null,
  field: string,
  read: ReadTrace,
): Outcome<CornerSpring> {
  if (pull === null || rate_N_per_m !== null) {
    const value = rate_N_per_m ?? 0;
    const exact = { value, standardError: 0, low95: value, high95: value };
    return { ok: true, answer: { name, rate_N_per_m: exact, preload_N: preload_N ?? 0 } };
  }
  const trace = traced(read, pull, `query.${field}`);
  if (!trace.ok) return trace;
  const pulled = springAnswer({ pull: trace.answer });
  if (!pulled.ok) return { ok: false, refusal: pulled.refusal, where: `query.${field}` };
  const { rate_N_per_mm: rate, preload_N: pulledPreload } = pulled.answer;
  return {
    ok: true,
    answer: {
      name,
      rate_N_per_m: scaleEstimate(rate, 1e3),
      preload_N: preload_N ?? Math.max(0, pulledPreload?.value ?? 0),
    },
  };
}
