/**
 * LOADCELL.DAT of the NIST/SEMATECH e-Handbook of Statistical Methods (page mpc365, data of C. Croarkin), US Government
 * work: 11 loads, three readings each.
 */
export const loadCell: { readonly load: readonly number[]; readonly reading: readonly number[] } = {
  load: [
    2, 2, 2, 4, 4, 4, 6, 6, 6, 8, 8, 8, 10, 10, 10, 12, 12, 12, 14, 14, 14, 16, 16, 16, 18, 18, 18, 20, 20,
    20, 21, 21, 21,
  ],
  reading: [
    0.20024, 0.20016, 0.20024, 0.40056, 0.40045, 0.40054, 0.60087, 0.60075, 0.60086, 0.8013, 0.80122, 0.80127,
    1.00173, 1.00164, 1.00173, 1.20227, 1.20218, 1.20227, 1.40282, 1.40278, 1.40279, 1.60344, 1.60339,
    1.60341, 1.80412, 1.80409, 1.80411, 2.00485, 2.00481, 2.00483, 2.10526, 2.10524, 2.10524,
  ],
};
