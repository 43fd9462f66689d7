import * as z from 'zod';
import type { Properties } from '../../daq/index.js';
import { numberInText } from './validation.js';

/** A number as people type it: decimal comma or point. */
const typedNumber = (low: number, high: number, unit: string) =>
  z
    .string()
    .transform((text) => text.replace(',', '.'))
    .pipe(numberInText(low, high, unit));

const text = z.string('a text').trim().max(80, 'at most 80 characters');

/** Whatever describes the parts of a build; an empty field says nothing. The bounds keep out what no such shock has. */
const shapes: Readonly<Record<string, z.ZodType<string | number, string>>> = {
  seal: text,
  lubricant: text,
  oil: text,
  oil_cSt: typedNumber(1, 1e5, 'cSt'),
  piston: text,
  holes: typedNumber(1, 24, '').refine(Number.isInteger, 'a whole number from 1 to 24'),
  hole_mm: typedNumber(0.1, 20, 'mm'),
  cap: text,
  bleed: text,
  spacer_mm: typedNumber(0, 100, 'mm'),
  stop: text,
  spring: text,
  spring_rate_N_per_mm: typedNumber(0.001, 100, 'N/mm'),
};

export const partKeys = Object.keys(shapes);

/** What describes parts, as typed; keys of nothing known are refused, empty fields left out. */
export const typedParts = z
  .record(z.string(), z.string('a text'))
  .transform(
    (typed): Record<string, string | undefined> =>
      Object.fromEntries(Object.entries(typed).filter(([, value]) => value.trim() !== '')),
  )
  .pipe(
    z.strictObject(
      Object.fromEntries(Object.entries(shapes).map(([key, shape]) => [key, shape.optional()])),
      'descriptions of parts',
    ),
  )
  .transform((parts) => parts as Properties);
