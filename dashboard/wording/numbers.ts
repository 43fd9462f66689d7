import type { Estimate } from '../../analysis/index.js';

const MINUS = '\u2212';
const NO_VALUE = '–';

/**
 * Decimal places that show two significant digits of an uncertainty.
 * @param halfWidth half-width of an interval, in the unit shown; at least 0
 * @returns places after the point; negative where tens or hundreds are already uncertain;
 *   null where the half-width is zero or not finite and so says nothing
 * Source: JCGM 100:2008 (GUM) 7.2.6, at most two significant digits for u and U.
 */
export function decimalsOfUncertainty(halfWidth: number): number | null {
  if (!Number.isFinite(halfWidth) || halfWidth <= 0) return null;
  // The exponent after rounding, so that 0.0996 counts as 0.10.
  const exponent = Number(halfWidth.toExponential(1).split('e')[1]);
  return Math.min(1 - exponent, 12);
}

/** Rounds to a number of decimals (negative: to tens, hundreds) with a true minus sign and never "−0". */
export function formatDecimals(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  const step = 10 ** -decimals;
  const text =
    decimals > 0 ? Math.abs(value).toFixed(decimals) : (Math.round(Math.abs(value) / step) * step).toFixed(0);
  return value < 0 && /[1-9]/.test(text) ? MINUS + text : text;
}

/** A number that carries no uncertainty, to `significant` digits, in plain notation. */
export function formatNumber(value: number, significant = 3): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  if (value === 0) return '0';
  const exponent = Number(value.toExponential(significant - 1).split('e')[1]);
  return formatDecimals(value, Math.min(significant - 1 - exponent, 12));
}

/** A number that somebody chose, such as a speed: at most `significant` digits, no trailing zeros. */
export function formatChosen(value: number, significant = 3): string {
  const text = formatNumber(value, significant);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** An estimate as text whose digits follow its interval; every part has the same number of decimals. */
export interface EstimateText {
  readonly value: string;
  readonly halfWidth: string;
  readonly low: string;
  readonly high: string;
}

/**
 * Writes an estimate with two significant digits of its half-width.
 * @param estimate value and 95 % interval in the unit shown
 * @returns its parts as text; where the interval is empty or unbounded, the value has three significant
 *   digits and the half-width is a dash
 */
export function estimateText(estimate: Estimate): EstimateText {
  const halfWidth = (estimate.high95 - estimate.low95) / 2;
  const decimals = decimalsOfUncertainty(halfWidth);
  if (decimals === null)
    return {
      value: formatNumber(estimate.value),
      halfWidth: NO_VALUE,
      low: formatNumber(estimate.low95),
      high: formatNumber(estimate.high95),
    };
  return {
    value: formatDecimals(estimate.value, decimals),
    halfWidth: formatDecimals(halfWidth, decimals),
    low: formatDecimals(estimate.low95, decimals),
    high: formatDecimals(estimate.high95, decimals),
  };
}

/** "1.32 ± 0.05 N"; an interval that is not centred on its value is written out: "1.3 N (0.9 to 3.0)". */
export function plusMinus(estimate: Estimate | null, unit: string): string {
  if (!estimate) return NO_VALUE;
  const text = estimateText(estimate);
  const suffix = unit === '' ? '' : ` ${unit}`;
  if (text.halfWidth === NO_VALUE) return `${text.value}${suffix}`;
  const halfWidth = (estimate.high95 - estimate.low95) / 2;
  const skew = Math.abs((estimate.high95 + estimate.low95) / 2 - estimate.value);
  return skew > 0.1 * halfWidth
    ? `${text.value}${suffix} (${text.low} to ${text.high})`
    : `${text.value} ± ${text.halfWidth}${suffix}`;
}

const numberWords = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** "three remounts": small counts as words, with the noun in the right number. */
export function count(n: number, noun: string, plural = `${noun}s`): string {
  return `${numberWords[n] ?? String(n)} ${n === 1 ? noun : plural}`;
}

/** First letter upper case, the rest as given. */
export function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
