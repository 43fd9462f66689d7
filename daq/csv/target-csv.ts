import type { FileSource } from '../files/read-source.js';
import { type CsvHeader, readNumericCsv } from './numeric-csv.js';

/** A curve to reach: force against signed velocity, in the order of the file. */
export interface TargetCurve {
  readonly velocity_m_per_s: Float64Array;
  readonly force_N: Float64Array;
}

/**
 * Reads a target curve: `velocity_mm_per_s,force_N`, in any order and in other units by name.
 * @throws DaqError 'file-…', 'csv-…', naming file, line, column, found and wanted
 */
export async function readTargetCsv(
  source: string | FileSource,
): Promise<{ target: TargetCurve; header: CsvHeader }> {
  const rule = { required: true, mayBeEmpty: false, increases: false };
  const { header, values } = await readNumericCsv(source, [
    { quantity: 'velocity', ...rule },
    { quantity: 'force', ...rule },
  ]);
  return { header, target: { velocity_m_per_s: values.velocity!, force_N: values.force! } };
}
