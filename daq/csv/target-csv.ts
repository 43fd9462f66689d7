import { type FileSource, readSource } from '../files/read-source.js';
import { csvForm } from './csv-form.js';
import { namedColumn } from './csv-units.js';
import { type CsvHeader, readNumericCsv } from './numeric-csv.js';

/** A curve to reach: force against signed velocity, in the order of the file. */
export interface TargetCurve {
  readonly velocity_m_per_s: Float64Array;
  readonly force_N: Float64Array;
  /** Mean of the file's oil temperatures, or null where it has none. */
  readonly temperature_degC: number | null;
}

/**
 * Whether a CSV file holds a curve to reach rather than a recording: it has a column of velocities.
 * @throws DaqError 'file-…', 'csv-empty', 'csv-encoding', 'csv-header'
 */
export async function isTargetCsv(source: string | FileSource): Promise<boolean> {
  const { names } = csvForm(await readSource(source));
  return names.some((name) => namedColumn(name)?.quantity === 'velocity');
}

/**
 * Reads a target curve: `velocity_mm_per_s,force_N`, in any order and in other units by name; perhaps with the oil
 * temperature at which it holds.
 * @throws DaqError 'file-…', 'csv-…', naming file, line, column, found and wanted
 */
export async function readTargetCsv(
  source: string | FileSource,
): Promise<{ target: TargetCurve; header: CsvHeader }> {
  const rule = { required: true, mayBeEmpty: false, increases: false };
  const { header, values } = await readNumericCsv(source, [
    { quantity: 'velocity', ...rule },
    { quantity: 'force', ...rule },
    { quantity: 'temperature', required: false, mayBeEmpty: true, increases: false },
  ]);
  const temperatures = [...(values.temperature ?? [])].filter(Number.isFinite);
  return {
    header,
    target: {
      velocity_m_per_s: values.velocity!,
      force_N: values.force!,
      temperature_degC:
        temperatures.length > 0 ? temperatures.reduce((sum, t) => sum + t, 0) / temperatures.length : null,
    },
  };
}
