import { describe, expect, it } from 'vitest';
import {
  gapConductance,
  gapDrag_m2,
  gapShear,
  holeFlow,
  holeResistance,
  holeReynolds,
  longOrificeDischarge,
} from '../../analysis/index.js';
import { relativeError } from './relative-error.js';

describe('flow through a round hole', () => {
  it('is that of Massey & Ward-Smith, Mechanics of Fluids, 8th ed., ex. 6.1: 12 mm pipe at 2.3 m/s', () => {
    const [d, mean, mu, rho] = [0.012, 2.3, 0.08, 830];
    const flow = mean * (Math.PI / 4) * d ** 2;
    const perLength = holeResistance(d, 2, mu) - holeResistance(d, 1, mu);
    expect(relativeError(flow, 2.601237e-4)).toBeLessThan(1e-6);
    expect(relativeError(perLength * flow, 40888.889)).toBeLessThan(1e-7);
    expect(holeReynolds(flow, d, mu / rho)).toBeCloseTo(286.35, 2);
  });

  it('through a thin plate is Sampson’s 3·μ·Q/a³', () => {
    const [d, mu] = [1.2e-3, 0.34];
    expect(relativeError(holeResistance(d, 0, mu), (3 * mu) / (d / 2) ** 3)).toBeLessThan(1e-14);
  });

  it('fulfils its own balance of laminar and quadratic loss', () => {
    const [resistance, loss] = [3e10, 4e15];
    for (const drop of [1, 1e3, 1e5]) {
      const flow = holeFlow(drop, resistance, loss);
      expect(relativeError(resistance * flow + loss * flow ** 2, drop)).toBeLessThan(1e-13);
    }
  });
});

describe('leak past a piston', () => {
  it('is that of Fox & McDonald, Introduction to Fluid Mechanics, 5th ed., ex. 8.1: 57.6 mm³/s', () => {
    const conductance = gapConductance(0.025, 5e-6, 0.015, 0.018);
    expect(relativeError(conductance * 19e6 * 1e9, 57.5716)).toBeLessThan(1e-6);
    // Off centre until it touches, two and a half times as much.
    expect(relativeError(gapConductance(0.025, 5e-6, 0.015, 0.018, 1) * 19e6 * 1e9, 143.929)).toBeLessThan(
      1e-6,
    );
  });

  it('with a moving wall makes the dashpot of Massey & Ward-Smith, ex. 6.4: 0.0065 m/s', () => {
    const [R, gap, length, mu, drop] = [0.025, 0.2e-3, 0.13, 0.087, 1.4e6];
    // Of the oil that the piston displaces, the slot lets pass its pressure flow less what its wall carries back.
    const speed =
      (gapConductance(2 * R, gap, length, mu) * drop) / (Math.PI * R ** 2 + gapDrag_m2(2 * R, gap));
    expect(relativeError(speed, 0.00654943)).toBeLessThan(1e-6);
    const force = drop * Math.PI * R ** 2;
    expect(relativeError(force, 2748.894)).toBeLessThan(1e-6);
    expect(relativeError(force / speed, 419714.815)).toBeLessThan(1e-8);
  });

  it('agrees with Rao’s dashpot formula, Mechanical Vibrations, SI ed. 2017, ex. 1.16 (final form from memory)', () => {
    const [D, d, l, mu] = [0.05, 0.2e-3, 0.13, 0.087];
    const rao = mu * ((3 * Math.PI * D ** 3 * l) / (4 * d ** 3)) * (1 + (2 * d) / D);
    const ours =
      ((Math.PI * D ** 2) / 4 / gapConductance(D, d, l, mu)) * ((Math.PI * D ** 2) / 4 + gapDrag_m2(D, d));
    expect(relativeError(ours, rao)).toBeLessThan(1e-12);
  });

  it('shears as in the dashpot of I. Khan, Fluid Mechanics, ch. 1: 2.83 N at 1 m/s', () => {
    expect(relativeError(gapShear(0.05, 1e-3, 0.2, 0.09), 2.8274)).toBeLessThan(1e-4);
  });
});

describe('a long orifice after Lichtarowicz, Duggins & Markland (1965)', () => {
  it('has the published coefficients for L/d = 2', () => {
    expect(relativeError(longOrificeDischarge(2e4, 2), 0.8088165976866)).toBeLessThan(1e-12);
    expect(relativeError(longOrificeDischarge(100, 2), 0.4284155081877)).toBeLessThan(1e-12);
  });

  it('has the coefficients computed from the published formula elsewhere', () => {
    const table: [reynolds: number, slenderness: number, discharge: number][] = [
      [10, 2, 0.0817],
      [1e3, 2, 0.7446],
      [1e4, 2, 0.8081],
      [1e2, 4, 0.3067],
      [1e3, 4, 0.686],
    ];
    for (const [reynolds, slenderness, discharge] of table)
      expect(longOrificeDischarge(reynolds, slenderness)).toBeCloseTo(discharge, 4);
  });

  it('lies within a fifth of the laminar hole with 1.85 velocity heads from Re 300 to 1000, and parts from it below', () => {
    const [d, slenderness, nu, rho] = [1.2e-3, 2, 3e-4, 968];
    const apart = (reynolds: number) => {
      const mean = (reynolds * nu) / d;
      const flow = mean * (Math.PI / 4) * d ** 2;
      const ours = holeResistance(d, slenderness * d, nu * rho) * flow + (1.85 * rho * mean ** 2) / 2;
      const theirs = (rho * mean ** 2) / 2 / longOrificeDischarge(reynolds, slenderness) ** 2;
      return ours / theirs;
    };
    for (const reynolds of [300, 500, 1000]) expect(Math.abs(apart(reynolds) - 1)).toBeLessThan(0.2);
    expect(apart(50)).toBeGreaterThan(0.4);
    expect(apart(50)).toBeLessThan(0.5);
  });
});
