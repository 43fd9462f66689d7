import type { SpringRateUnit } from '../../analysis/index.js';
import { badInput } from './failure.js';

const units: readonly SpringRateUnit[] = ['N/mm', 'lbf/in', 'gf/mm', 'kgf/cm', 'kgf/mm'];

/** Makes an option's parser that takes a spring rate with its unit: `0.28 N/mm`, `1,6 lbf/in`, `20gf/mm`. */
export function springRate(
  option: string,
): (text: string) => { readonly rate: number; readonly unit: SpringRateUnit } {
  return (text) => {
    const [, number = '', unit = ''] = /^\s*([\d.,]+)\s*([a-z/]+)\s*$/i.exec(text) ?? [];
    const rate = Number(number.replace(',', '.'));
    const known = units.find((name) => name.toLowerCase() === unit.toLowerCase());
    if (!known || !(rate > 0))
      throw badInput(
        `${option} ${text}`,
        `a rate above zero with its unit (${units.join(', ')}), such as '1.6 lbf/in'`,
      );
    return { rate, unit: known };
  };
}

/** Makes an option's parser that takes a share: `10%` or `10`. @returns per cent */
export function percentage(option: string): (text: string) => number {
  return (text) => {
    const value = Number(text.replace('%', '').replace(',', '.'));
    if (text.trim() === '' || !Number.isFinite(value) || value <= 0 || value > 100)
      throw badInput(`${option} ${text}`, 'a percentage above 0 and up to 100, such as 10%');
    return value;
  };
}

/** Makes an option's parser that takes a number of zero or more, with a decimal point or comma. */
export function zeroOrMore(option: string): (text: string) => number {
  return (text) => {
    const value = Number(text.replace(',', '.'));
    if (text.trim() === '' || !Number.isFinite(value) || value < 0)
      throw badInput(`${option} ${text}`, 'a number of zero or more');
    return value;
  };
}
