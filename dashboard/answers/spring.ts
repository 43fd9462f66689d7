import {
  checkSpringLabel,
  type Estimate,
  type HelicalRefusal,
  type HelicalSpring,
  helicalRate,
  type LabelCheck,
  type RecordedPullOutcome,
  type RideSpring,
  recordedPull,
  type ShelfSpring,
  type SpringRateUnit,
  scaleEstimate,
  springForMass,
  type Trace,
} from '../../analysis/index.js';

export interface SpringQuestion {
  readonly pull: Trace;
  /** The same shock pulled without its spring, whose gas is then taken off. */
  readonly bare?: Trace;
  readonly label?: {
    readonly printed: number;
    readonly unit: SpringRateUnit;
    readonly tolerance_percent?: number;
  };
  readonly wire?: HelicalSpring;
  /** Sprung mass on the corner before and after. */
  readonly mass?: { readonly before_kg: number; readonly after_kg: number };
  readonly shelf?: readonly ShelfSpring[];
}

/** Positions in the recording's own coordinate. */
export interface SpringAnswer {
  readonly rate_N_per_mm: Estimate;
  readonly preload_N: Estimate | null;
  readonly friction_N: Estimate | null;
  /** Change of the rate over the stretch, per cent of it. */
  readonly progression_percent: Estimate;
  readonly from_mm: number;
  readonly to_mm: number;
  /** Travel before the spring is touched. */
  readonly slack_mm: number;
  readonly bound: boolean;
  readonly residual_N: number;
  readonly strokes: { readonly loading: number; readonly unloading: number };
  /** Rate of the bare shock, its gas, where that was pulled too and taken off. */
  readonly bareRate_N_per_mm: Estimate | null;
  readonly notIdentified: readonly string[];
  readonly label: (LabelCheck & { readonly printed: number; readonly unit: SpringRateUnit }) | null;
  readonly wire: { readonly rate_N_per_mm: number; readonly deviation_percent: number } | null;
  readonly ride: {
    readonly before_kg: number;
    readonly after_kg: number;
    readonly wanted_N_per_mm: Estimate;
    readonly shelf: RideSpring['shelf'];
  } | null;
}

export type SpringRefusal =
  | Extract<RecordedPullOutcome, { ok: false }>['refusal']
  | HelicalRefusal
  | { readonly code: 'bad-mass'; readonly found: string; readonly wanted: string };

export type SpringOutcome =
  | { readonly ok: true; readonly answer: SpringAnswer }
  | {
      readonly ok: false;
      readonly about: 'pull' | 'bare' | 'wire' | 'mass';
      readonly refusal: SpringRefusal;
    };

/** Rate and preload of a spring from its pull, and what follows for its label, its wire and another mass. */
export function springAnswer(question: SpringQuestion): SpringOutcome {
  const pulled = recordedPull(question.pull);
  if (!pulled.ok) return { ok: false, about: 'pull', refusal: pulled.refusal };
  const bare = question.bare ? recordedPull(question.bare) : null;
  if (bare && !bare.ok) return { ok: false, about: 'bare', refusal: bare.refusal };
  const { pull } = pulled;
  const bareRate = bare?.pull.rate_N_per_m ?? null;
  const rate = bareRate ? less(pull.rate_N_per_m, bareRate) : pull.rate_N_per_m;
  const preload =
    bare?.pull.preload_N && pull.preload_N ? less(pull.preload_N, bare.pull.preload_N) : pull.preload_N;
  const wired = question.wire ? helicalRate(question.wire) : null;
  if (wired && !wired.ok) return { ok: false, about: 'wire', refusal: wired.refusal };
  const { mass, label } = question;
  const ridden = mass ? springForMass(rate, mass.before_kg, mass.after_kg, question.shelf) : null;
  if (ridden && !ridden.ok) return { ok: false, about: 'mass', refusal: ridden.refusal };
  const optional = { preload_N: preload, friction_N: pull.friction_N };
  return {
    ok: true,
    answer: {
      rate_N_per_mm: scaleEstimate(rate, 1e-3),
      ...optional,
      progression_percent: scaleEstimate(pull.progression, 100),
      from_mm: 1e3 * pull.from_m,
      to_mm: 1e3 * pull.to_m,
      slack_mm: 1e3 * pull.slack_m,
      bound: pull.bound,
      residual_N: pull.residual_N,
      strokes: pull.strokes,
      bareRate_N_per_mm: bareRate && scaleEstimate(bareRate, 1e-3),
      notIdentified: Object.entries(optional).flatMap(([path, value]) => (value === null ? [path] : [])),
      label: label
        ? {
            printed: label.printed,
            unit: label.unit,
            ...checkSpringLabel(rate, label.printed, label.unit, label.tolerance_percent),
          }
        : null,
      wire: wired && {
        rate_N_per_mm: 1e-3 * wired.rate_N_per_m,
        deviation_percent: 100 * (rate.value / wired.rate_N_per_m - 1),
      },
      ride:
        ridden && mass
          ? {
              ...mass,
              wanted_N_per_mm: scaleEstimate(ridden.ride.wanted_N_per_m, 1e-3),
              shelf: ridden.ride.shelf,
            }
          : null,
    },
  };
}

/** Difference of two independent estimates; the half-widths add as the errors do. */
function less(one: Estimate, other: Estimate): Estimate {
  const value = one.value - other.value;
  const reach = Math.hypot((one.high95 - one.low95) / 2, (other.high95 - other.low95) / 2);
  return {
    value,
    standardError: Math.hypot(one.standardError, other.standardError),
    low95: value - reach,
    high95: value + reach,
  };
}
