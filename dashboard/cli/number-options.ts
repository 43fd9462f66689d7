import { badInput } from './failure.js';

/** Makes an option's parser that takes a positive number, with a decimal point or comma. */
export function positiveNumber(option: string): (text: string) => number {
  return (text) => {
    const value = Number(text.replace(',', '.'));
    if (text.trim() === '' || !Number.isFinite(value) || value <= 0)
      throw badInput(`${option} ${text}`, 'a number above zero');
    return value;
  };
}

/** Makes an option's parser that takes a whole number from 1. */
export function wholeNumber(option: string): (text: string) => number {
  return (text) => {
    if (!/^[1-9]\d{0,9}$/.test(text)) throw badInput(`${option} ${text}`, 'a whole number above zero');
    return Number(text);
  };
}

/** Makes an option's parser that takes any number, with a decimal point or comma. */
export function anyNumber(option: string): (text: string) => number {
  return (text) => {
    const value = Number(text.replace(',', '.'));
    if (text.trim() === '' || !Number.isFinite(value)) throw badInput(`${option} ${text}`, 'a number');
    return value;
  };
}

/** Makes an option's parser that takes increasing numbers above zero: `100,200`, or `0,1; 0,2` with decimal commas. */
export function numberList(option: string): (text: string) => number[] {
  return (text) => {
    const parts = text.includes(';')
      ? text.split(';').map((part) => part.replace(',', '.'))
      : text.split(',');
    const values = parts.map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
    const isIncreasing = values.every((value, i) => value > (i > 0 ? values[i - 1]! : 0));
    if (!isIncreasing)
      throw badInput(`${option} ${text}`, 'increasing numbers above zero, such as 100,200,500');
    return values;
  };
}
