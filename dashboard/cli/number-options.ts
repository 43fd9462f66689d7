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
