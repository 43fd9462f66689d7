/** Units in which spring rates are printed and thought of. */
export type SpringRateUnit = 'N/mm' | 'lbf/in' | 'gf/mm' | 'kgf/cm' | 'kgf/mm';

/** Exact by definition: NIST SP 811 (2008), appendix B.8. */
const lbf_N = 4.448_221_615_260_5;
const inch_m = 0.0254;
const kgf_N = 9.806_65;

/** N/m in one of each unit. */
export const newtonPerMetreIn: Readonly<Record<SpringRateUnit, number>> = {
  'N/mm': 1e3,
  'lbf/in': lbf_N / inch_m,
  'gf/mm': kgf_N,
  'kgf/cm': kgf_N * 100,
  'kgf/mm': kgf_N * 1e3,
};

export const toNewtonPerMetre = (rate: number, unit: SpringRateUnit): number => rate * newtonPerMetreIn[unit];

export const fromNewtonPerMetre = (rate_N_per_m: number, unit: SpringRateUnit): number =>
  rate_N_per_m / newtonPerMetreIn[unit];
