import { lengthNumber, lengthText, valueText } from './amounts.js';
import { count, formatChosen, formatDecimals, formatNumber } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

const markNames: Readonly<Record<string, string>> = { ',': 'commas', ';': 'semicolons', '\t': 'tabs' };

/** Why a column is taken for what it is taken for. */
export function columnReasonWords(column: {
  readonly name: string;
  readonly quantity: string | null;
  readonly unit: string;
  readonly reason: string;
  readonly unitStated: boolean;
  readonly unknownUnit: string;
}): string {
  const { quantity, unit, reason, unitStated, unknownUnit } = column;
  const usual =
    unknownUnit !== ''
      ? `; ${unknownUnit} is no unit that is known here: say which it is`
      : unitStated
        ? ''
        : `; it names no unit, ${unit} is the usual one`;
  switch (reason) {
    case 'named':
      return 'its name says so';
    case 'word':
      return `its name is a word for ${quantity}${usual}`;
    case 'unit':
      return `${unit} is a unit of ${quantity}`;
    case 'rises':
      return `it rises from row to row; the steps look like ${unit}`;
    case 'left-over':
      return `it is the one that is left${usual}`;
    case 'order':
      return `nothing says so but the order${usual}`;
    case 'no-numbers':
      return 'it holds other things than numbers';
    default:
      return 'nothing says what it is';
  }
}

/** Why these marks are taken. */
export function markReasonWords(guess: {
  readonly delimiter: string;
  readonly decimalMark: string;
  readonly rowsJudged: number;
  readonly cells: number;
  readonly decimalExample: string;
}): { readonly delimiter: string; readonly decimalMark: string } {
  const { delimiter, decimalMark, rowsJudged, cells, decimalExample } = guess;
  const marks = markNames[delimiter] ?? delimiter;
  return {
    delimiter: `${marks} part ${count(rowsJudged, 'row')} into ${count(cells, 'cell')} each`,
    decimalMark: decimalExample
      ? `numbers such as ${decimalExample}`
      : `all numbers are whole; either would do, so ${decimalMark === ',' ? 'comma' : 'point'} stands`,
  };
}

/** What a file comes to under its reading, so that a wrong unit is noticed. */
export function seenWords(
  seen: {
    readonly rows: number;
    readonly rate_Hz: number | null;
    readonly position_mm: readonly [number, number];
    readonly force_N: readonly [number, number];
    readonly temperature_degC: readonly [number, number] | null;
  },
  units: DisplayUnits = metric,
): string {
  const { rate_Hz, position_mm, force_N, temperature_degC } = seen;
  const between = ([low, high]: readonly [number, number], unit: string) =>
    `${formatDecimals(low, 1)} to ${formatDecimals(high, 1)} ${unit}`;
  const rate = rate_Hz === null ? '' : `, ${formatChosen(rate_Hz)} rows a second`;
  const warmth = temperature_degC ? `, ${between(temperature_degC, '°C')}` : '';
  const [low_mm, high_mm] = position_mm;
  const lengths = `${lengthNumber(low_mm, units)} to ${lengthText(high_mm, units)}`;
  const force = displayScale('force', units);
  const forces = between([force_N[0] * force.factor, force_N[1] * force.factor], force.unit);
  return `Read so, its first ${count(seen.rows, 'row')} hold positions of ${lengths} and forces of ${forces}${warmth}${rate}.`;
}

/** What looks wrong about such ranges; common practice, no source, since rigs for small shocks are alike in size. */
export function oddWords(
  seen: {
    readonly rate_Hz: number | null;
    readonly position_mm: readonly [number, number];
    readonly force_N: readonly [number, number];
  },
  units: DisplayUnits = metric,
): string | null {
  const span_mm = seen.position_mm[1] - seen.position_mm[0];
  const span_N = seen.force_N[1] - seen.force_N[0];
  if (seen.rate_Hz !== null && (seen.rate_Hz < 5 || seen.rate_Hz > 50_000))
    return `${formatNumber(seen.rate_Hz, 2)} rows a second: is the unit of time right?`;
  if (span_mm > 500)
    return `The shock moves by ${valueText(span_mm, 'length', units, 1e-3)}: is the unit of position right?`;
  if (span_N > 5000)
    return `The force spans ${valueText(span_N, 'force', units, 1)}: is the unit of force right?`;
  return null;
}
