import { namedColumn, unitsOf } from './csv-units.js';
import { TRACE_QUANTITIES, type TraceQuantity } from './stated-csv.js';

/** What speaks for a column's being what it is taken for. */
export type ColumnReason =
  /** Name and unit as we write them. */
  | 'named'
  /** A word for it, in this or another language, or a letter. */
  | 'word'
  /** Only its unit says so. */
  | 'unit'
  /** Its values rise from row to row. */
  | 'rises'
  /** It is the one that is left. */
  | 'left-over'
  /** Two are left, taken in the order in which we write them. */
  | 'order'
  /** Nothing does; it is left out. */
  | 'none'
  /** It holds other things than numbers. */
  | 'no-numbers';

/** What one column of a file seems to be. */
export interface ColumnGuess {
  readonly cell: number;
  readonly name: string;
  /** Null where it is left out. */
  readonly quantity: TraceQuantity | null;
  /** Empty where the header names one that is not known: its owner has to say. */
  readonly unit: string;
  readonly reason: ColumnReason;
  /** The unit stands in the header; otherwise it is the usual one and wants confirming. */
  readonly unitStated: boolean;
  /** What the header names in place of a unit that is known; empty where it names none. */
  readonly unknownUnit: string;
}

/** A column as it stands in the file: values with NaN for empty cells, null where it holds other things. */
export interface SeenColumn {
  readonly name: string;
  readonly values: readonly number[] | null;
}

/** Words of loggers and spreadsheets, from memory: English, German, French, Italian, Spanish. */
const WORDS: Readonly<Record<TraceQuantity, RegExp>> = {
  time: /^(t|time|timestamp|elapsed|seconds|zeit|temps|tempo|tiempo)$/i,
  position: /^(x|s|pos|position|disp|displacement|stroke|travel|weg|hub|course|corsa|recorrido|lvdt)$/i,
  force: /^(f|force|load|kraft|last|effort|forza|fuerza|cell|loadcell)$/i,
  temperature: /^(temp|temperature|temperatur|oil|öl)$/i,
};

/** What is taken where a header has no unit. */
const USUAL: Readonly<Record<TraceQuantity, string>> = {
  time: 's',
  position: 'mm',
  force: 'N',
  temperature: 'degC',
};

type Found = Pick<ColumnGuess, 'quantity' | 'unit' | 'reason' | 'unitStated'> &
  Partial<Pick<ColumnGuess, 'unknownUnit'>>;

/** Guesses what each column of a recording's file is; each quantity is found once. */
export function guessColumns(seen: readonly SeenColumn[]): ColumnGuess[] {
  const found = new Map<number, Found>();
  const isTaken = (quantity: TraceQuantity) =>
    [...found.values()].some((other) => other.quantity === quantity);
  const openCells = () => seen.flatMap(({ values }, cell) => (values && !found.has(cell) ? [cell] : []));
  const take = (cell: number, guess: Found | null) => {
    if (guess?.quantity && !isTaken(guess.quantity)) found.set(cell, guess);
  };

  for (const by of [byName, byWord, byUnit]) for (const cell of openCells()) take(cell, by(seen[cell]!.name));
  if (!isTaken('time')) {
    const rising = openCells().find((cell) => rises(seen[cell]!.values!));
    if (rising !== undefined)
      take(rising, {
        quantity: 'time',
        unit: unitOfSteps(seen[rising]!.values!),
        reason: 'rises',
        unitStated: false,
      });
  }
  const missing = (['position', 'force'] as const).filter((quantity) => !isTaken(quantity));
  const left = openCells();
  if (missing.length > 0 && missing.length === left.length)
    for (const [i, quantity] of missing.entries())
      take(left[i]!, {
        quantity,
        unit: USUAL[quantity],
        reason: left.length === 1 ? 'left-over' : 'order',
        unitStated: false,
      });
  return seen.map(({ name, values }, cell) => ({
    cell,
    name: name || `column ${cell + 1}`,
    unknownUnit: '',
    ...(found.get(cell) ?? {
      quantity: null,
      unit: '',
      reason: values ? 'none' : 'no-numbers',
      unitStated: false,
    }),
  }));
}

function byName(name: string): Found | null {
  const named = namedColumn(name);
  const quantity = TRACE_QUANTITIES.find((one) => one === named?.quantity);
  if (!named || !quantity || !('unit' in named)) return null;
  return { quantity, unit: named.unit, reason: 'named', unitStated: true };
}

function byWord(name: string): Found | null {
  const [first] = wordsOf(name);
  const quantity = first && TRACE_QUANTITIES.find((one) => WORDS[one].test(first));
  if (!quantity) return null;
  const unit = unitIn(name, quantity);
  const unknownUnit = unit === null ? unknownUnitIn(name) : '';
  return {
    quantity,
    unit: unit ?? (unknownUnit === '' ? USUAL[quantity] : ''),
    reason: 'word',
    unitStated: unit !== null,
    unknownUnit,
  };
}

/** What stands where a unit would: in brackets, after a stroke, or after a name as we write them. */
function unknownUnitIn(name: string): string {
  const named = namedColumn(name);
  if (named && 'unknownUnit' in named && named.unknownUnit !== '') return named.unknownUnit;
  return /[[(]\s*([^\])]*?)\s*[\])]/.exec(name)?.[1] ?? /\/\s*(\S+)\s*$/.exec(name)?.[1] ?? '';
}

function byUnit(name: string): Found | null {
  // Alone, K and the m of a metre are too short to mean anything unless they stand in brackets.
  const sure = TRACE_QUANTITIES.flatMap((quantity) => {
    const unit = unitIn(name, quantity);
    return unit && (unit.length > 1 || /[[(/]/.test(name) || name === unit) ? [{ quantity, unit }] : [];
  });
  const [only, ...more] = sure;
  return only && more.length === 0 ? { ...only, reason: 'unit', unitStated: true } : null;
}

/** The words of a name, symbols for micro and degree spelled as units spell them. */
function wordsOf(name: string): string[] {
  return name
    .replace(/[µμ]/g, 'u')
    .replace(/°\s*/g, 'deg')
    .split(/[^\p{L}\d]+/u)
    .filter((word) => word !== '');
}

function unitIn(name: string, quantity: TraceQuantity): string | null {
  const words = wordsOf(name);
  const units = Object.keys(unitsOf(quantity));
  // From the end: a unit follows its name. Spelled exactly first, since mN is not MN.
  for (const same of [
    (a: string, b: string) => a === b,
    (a: string, b: string) => a.toLowerCase() === b.toLowerCase(),
  ])
    for (const word of words.toReversed()) {
      const unit = units.find((one) => same(one, word));
      if (unit) return unit;
    }
  return null;
}

function rises(values: readonly number[]): boolean {
  return values.length > 1 && values.every((value, i) => i === 0 || value > values[i - 1]!);
}

/** Rigs send 50 to 5000 samples a second: a step of 0.2 to 20 ms, in whichever unit makes it so. */
function unitOfSteps(values: readonly number[]): string {
  const step = (values.at(-1)! - values[0]!) / (values.length - 1);
  return step >= 100 ? 'us' : step >= 0.15 ? 'ms' : 's';
}
