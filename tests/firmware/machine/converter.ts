import type { Agenda } from './agenda.js';
import { frequency_Hz } from './chip.js';
import { step_s } from './moving-shock.js';

export interface ConverterOptions {
  /** True conversion rate; its oscillator is not the controller's. */
  readonly rate_Hz: number;
  /** Cascaded running means, one conversion long each: 4 is sinc4; 0 takes the force as it is. */
  readonly order: 0 | 1 | 3 | 4;
  readonly counts_per_N: number;
  readonly zero_counts: number;
  readonly noise_counts: number;
  readonly noise: () => number;
}

/** A two-wire 24-bit load-cell converter. */
export interface Converter {
  /** The cell feels this, for another `step_s`. */
  feel(force_N: number): void;
  clockRises(cycle: number): void;
  clockFalls(cycle: number): void;
  /** Every conversion that has ended: when, and what it gave. */
  readonly history: { readonly cycle: number; readonly counts: number }[];
  /** A fault to play: the data line stays high, all conversions alike, or at the limit. */
  fault: 'none' | 'silent' | 'stuck' | 'saturated';
  /** Decides when conversions end instead of the rate: the cycle of the one after `cycle`. */
  nextEnd: ((cycle: number) => number) | null;
  /** What a test looks at: longest clock pulse, times it powered down, conversions nobody read or that came in a read. */
  readonly account: { longestHigh_cycles: number; powerDowns: number; unread: number; collided: number };
}

const BITS = 24;
const LIMIT = 2 ** (BITS - 1);
/** A clock high for longer powers the converter down. Source: data sheet of the common part. */
const POWER_DOWN_CYCLES = 60e-6 * frequency_Hz;
/** Conversions until the first good one after power-up. Source: the same. */
const SETTLING = 4;

/**
 * Plays the converter: averages what the cell feels, ends a conversion by letting its data line fall, gives its bits to
 * the clock, and powers down when the clock stays high.
 * @param feelUntil makes the cell feel everything up to a cycle
 * @param setData sets the data line, with the exact cycle
 */
export function converter(
  options: ConverterOptions,
  happenings: Agenda,
  feelUntil: (cycle: number) => void,
  setData: (high: boolean, cycle: number) => void,
): Converter {
  const period_s = 1 / options.rate_Hz;
  const weights = kernelWeights(options.order, period_s);
  const felt = new Float64Array(Math.max(1, weights.length));
  let feltCount = 0;
  let dataHigh = true;
  let shifting = 0;
  let pulses = 0;
  let roseAt = Number.NaN;
  let settling = SETTLING;
  let stuckAt: number | null = null;

  const data = (high: boolean, cycle: number) => {
    if (high === dataHigh) return;
    dataHigh = high;
    setData(high, cycle);
  };

  const played: Converter = {
    fault: 'none',
    nextEnd: null,
    history: [],
    account: { longestHigh_cycles: 0, powerDowns: 0, unread: 0, collided: 0 },
    feel(force_N) {
      felt[feltCount++ % felt.length] = force_N;
    },
    clockRises(cycle) {
      roseAt = cycle;
      if (pulses === BITS) data(true, cycle);
      else if (settling === 0) {
        pulses++;
        data(((shifting >> (BITS - pulses)) & 1) === 1, cycle);
      }
    },
    clockFalls(cycle) {
      const high_cycles = cycle - roseAt;
      if (Number.isNaN(high_cycles)) return;
      played.account.longestHigh_cycles = Math.max(played.account.longestHigh_cycles, high_cycles);
      if (high_cycles <= POWER_DOWN_CYCLES) return;
      played.account.powerDowns++;
      settling = SETTLING;
      pulses = 0;
      data(true, cycle);
    },
  };

  function convert(cycle: number) {
    const counts = clamp(Math.round(mean() * options.counts_per_N + options.zero_counts + noise()));
    stuckAt ??= counts;
    const given = played.fault === 'stuck' ? stuckAt : played.fault === 'saturated' ? LIMIT - 1 : counts;
    if (played.fault !== 'stuck') stuckAt = counts;
    played.history.push({ cycle, counts: given });
    if (played.fault === 'silent') return data(true, cycle);
    if (settling > 0 && --settling > 0) return;
    if (pulses > 0 && pulses < BITS) {
      played.account.collided++;
      return;
    }
    if (!dataHigh && pulses === 0) played.account.unread++;
    // Before it falls again the line has to have been high.
    data(true, cycle);
    shifting = given & (2 * LIMIT - 1);
    pulses = 0;
    data(false, cycle);
  }

  const noise = () => options.noise_counts * options.noise();

  function mean(): number {
    if (options.order === 0) return felt[(feltCount - 1 + felt.length) % felt.length]!;
    let sum = 0;
    for (let back = 0; back < weights.length; back++)
      sum += weights[back]! * felt[(feltCount - 1 - back + 2 * felt.length) % felt.length]!;
    return sum;
  }

  function endAt(cycle: number) {
    happenings.at(cycle, () => {
      feelUntil(cycle);
      convert(cycle);
      endAt(played.nextEnd ? played.nextEnd(cycle) : cycle + period_s * frequency_Hz);
    });
  }
  endAt(period_s * frequency_Hz);
  return played;
}

const clamp = (counts: number) => Math.max(-LIMIT, Math.min(LIMIT - 1, counts));

/**
 * What a force so many steps back counts for: the cascade's weight is the cardinal B-spline of its order over the
 * conversions, taken at the middle of each step and brought to a sum of 1.
 */
function kernelWeights(order: number, period_s: number): Float64Array {
  const steps = Math.ceil((order * period_s) / step_s);
  const weights = Float64Array.from({ length: steps }, (_, back) =>
    spline(order, ((back + 0.5) * step_s) / period_s),
  );
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => weight / sum);
}

/** Cardinal B-spline of an order at u, by its recursion: 1 over [0, 1) for the first. */
function spline(order: number, u: number): number {
  if (u < 0 || u >= order) return 0;
  if (order <= 1) return 1;
  return (u * spline(order - 1, u) + (order - u) * spline(order - 1, u - 1)) / (order - 1);
}
