import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import type { Calibration } from '../../daq/index.js';
import { badInput } from './failure.js';

const slope = z.number().refine((value) => value !== 0, 'a slope that is not zero');
const uncertainty = z.number().nonnegative().nullable().optional();

const calibrationShape = z.strictObject({
  force: z.strictObject({
    newton_per_count: slope,
    zero_counts: z.number(),
    standardUncertainty_newton_per_count: uncertainty,
  }),
  position: z.strictObject({
    metre_per_count: slope,
    zero_counts: z.number(),
    standardUncertainty_metre_per_count: uncertainty,
  }),
});

/** What a calibration file looks like, for refusals. */
export const CALIBRATION_EXAMPLE =
  '{"force":{"newton_per_count":4.6e-5,"zero_counts":41000},"position":{"metre_per_count":3.7e-6,"zero_counts":4000}}';

/** Reads a calibration that somebody wrote down as JSON. @throws CommandFailure naming the first thing wrong in it */
export async function readCalibrationFile(path: string): Promise<Calibration> {
  const text = await readFile(path, 'utf8');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw badInput(`no JSON (${(error as Error).message})`, CALIBRATION_EXAMPLE, path);
  }
  const result = calibrationShape.safeParse(value);
  if (result.success) {
    const { force, position } = result.data;
    // An absent key and an undefined one differ in the type, not in the file.
    return { force: { ...present(force) }, position: { ...present(position) } } as Calibration;
  }
  const [issue] = result.error.issues;
  throw badInput(`${issue!.path.join('.') || 'the whole'}: ${issue!.message}`, CALIBRATION_EXAMPLE, path);
}

function present(part: object): object {
  return Object.fromEntries(Object.entries(part).filter(([, value]) => value !== undefined));
}
