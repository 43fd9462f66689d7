/** What can be chosen: force and length go together as spring rates are sold. */
export const unitChoices = ['N-mm', 'lbf-in', 'gf-mm', 'N-in'] as const;
export type UnitChoice = (typeof unitChoices)[number];
