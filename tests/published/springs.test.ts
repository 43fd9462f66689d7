import { describe, expect, it } from 'vitest';
import {
  coilsForRate,
  fromNewtonPerMetre,
  helicalRate,
  newtonPerMetreIn,
  toNewtonPerMetre,
} from '../../analysis/index.js';
import { relativeError } from './relative-error.js';

const rate_N_per_mm = (wire_m: number, coil_m: number, activeCoils: number, shearModulus_Pa: number) => {
  const outcome = helicalRate({ wire_m, coil_m, activeCoils, shearModulus_Pa });
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.rate_N_per_m / 1e3;
};

describe('springs from wire and coils', () => {
  it('Bhandari, Design of Machine Elements, ex. 10.5: 14.98 N/mm', () => {
    expect(relativeError(rate_N_per_mm(7e-3, 42e-3, 22, 81370e6), 14.982901936)).toBeLessThan(1e-10);
  });

  it('Bhandari, ex. 10.1: seven-millimetre wire with eight coils carries 1250 N over 30 mm', () => {
    const rate = rate_N_per_mm(7e-3, 42e-3, 8, 81370e6);
    expect(relativeError(rate, 41.203)).toBeLessThan(1e-5);
    expect(1250 / rate).toBeGreaterThan(30);
    expect(1250 / rate).toBeLessThan(30.5);
  });

  it('Wentzell, Machine Design, ex. 8.2: 70 lbf/in needs 10.79 active coils', () => {
    const psi_Pa = newtonPerMetreIn['lbf/in'] / 0.0254;
    const spring = { wire_m: 0.105 * 0.0254, coil_m: 0.62 * 0.0254, shearModulus_Pa: 11.85e6 * psi_Pa };
    expect(relativeError(coilsForRate(spring, toNewtonPerMetre(70, 'lbf/in')), 10.792261)).toBeLessThan(1e-7);
  });

  it('a public worksheet after Shigley: 2197 N/m from an outer diameter of 24.75 mm', () => {
    expect(relativeError(rate_N_per_mm(2.5e-3, (24.75 - 2.5) * 1e-3, 16, 79.3e9), 2.197016)).toBeLessThan(
      1e-6,
    );
  });

  it('Jindal, Machine Design, ch. 8: 300 N press 18.51 mm', () => {
    const rate = rate_N_per_mm(5e-3, 30e-3, 15, 84e9);
    expect(relativeError(rate, 16.203704)).toBeLessThan(1e-7);
    expect(relativeError(300 / rate, 18.514286)).toBeLessThan(1e-7);
  });
});

describe('units of spring rate, NIST SP 811 (2008), appendix B.8', () => {
  it('are exact', () => {
    expect(newtonPerMetreIn['lbf/in']).toBeCloseTo(175.126835246476, 11);
    expect(newtonPerMetreIn['gf/mm']).toBe(9.80665);
    expect(newtonPerMetreIn['kgf/cm']).toBeCloseTo(980.665, 12);
    expect(newtonPerMetreIn['kgf/mm']).toBeCloseTo(9806.65, 12);
  });

  it('turn 70 lbf/in into 12.258878467 N/mm and back', () => {
    expect(relativeError(toNewtonPerMetre(70, 'lbf/in') / 1e3, 12.258878467)).toBeLessThan(1e-10);
    expect(fromNewtonPerMetre(toNewtonPerMetre(1.1, 'lbf/in'), 'lbf/in')).toBeCloseTo(1.1, 14);
  });
});
