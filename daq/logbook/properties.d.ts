/** Free notes on parts; a key whose value is a quantity ends in its unit (`oil_cSt`, `hole_mm`). */
export type Properties = Readonly<Record<string, string | number | boolean>>;
