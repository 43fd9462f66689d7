import type { Refusal } from '../refusal.js';

/** A round-wire compression spring. */
export interface HelicalSpring {
  readonly wire_m: number;
  /** Mean coil diameter: outer diameter less one wire. */
  readonly coil_m: number;
  /** Coils that work: for closed and ground ends, all but about two (common practice, no source). */
  readonly activeCoils: number;
  /** Shear modulus; about 79 to 81.5 GPa for spring steel, 69 to 73 GPa for stainless (from memory). */
  readonly shearModulus_Pa: number;
}

export type HelicalRefusal = Refusal<'bad-dimension' | 'coil-too-tight'>;
export type HelicalOutcome =
  | { readonly ok: true; readonly rate_N_per_m: number }
  | { readonly ok: false; readonly refusal: HelicalRefusal };

export const springSteel_Pa = 79.3e9;

/** A coil narrower than this many wires is not wound; the formula is off by several per cent there. */
const leastIndex = 3;

/**
 * Rate of a spring from its wire and coils: G·d⁴/(8·D³·n).
 * Numerical notes: 1 % of the wire's diameter is 4 % of the rate, so a caliper is no substitute for a pull.
 * Source: EN 13906-1 and any machine design text, e.g. Shigley
 */
export function helicalRate(spring: HelicalSpring): HelicalOutcome {
  const { wire_m, coil_m, activeCoils, shearModulus_Pa } = spring;
  for (const [name, value] of Object.entries(spring))
    if (!(Number.isFinite(value) && value > 0))
      return refuse('bad-dimension', `${name} of ${value}`, 'a number above 0');
  const index = coil_m / wire_m;
  if (index < leastIndex)
    return refuse(
      'coil-too-tight',
      `a mean coil of ${index.toFixed(2)} wires`,
      `at least ${leastIndex} wires; the mean diameter is the outer one less a wire`,
    );
  return { ok: true, rate_N_per_m: (shearModulus_Pa * wire_m ** 4) / (8 * coil_m ** 3 * activeCoils) };
}

/** Coils that give a rate with this wire and coil diameter. */
export const coilsForRate = (spring: Omit<HelicalSpring, 'activeCoils'>, rate_N_per_m: number): number =>
  (spring.shearModulus_Pa * spring.wire_m ** 4) / (8 * spring.coil_m ** 3 * rate_N_per_m);

const refuse = (code: HelicalRefusal['code'], found: string, wanted: string): HelicalOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});
