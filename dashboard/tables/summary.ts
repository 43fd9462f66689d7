import { statisticsByGroup } from './frame-statistics.js';
import { requireFewEnoughRows } from './row-limit.js';
import type { Table } from './table.js';

/** One recording: what was on the rig and what the analysis made of it. */
export interface RecordingRow {
  readonly recording: string;
  readonly build: string;
  /** Labels as the owner wrote them; null where nothing was written. */
  readonly oil: string | null;
  readonly piston: string | null;
  /** By a name that carries its unit (`friction_N`); null where the recording could not support it. */
  readonly quantities: Readonly<Record<string, number | null>>;
}

export type SummaryKey = 'build' | 'oil' | 'piston';

/** One group's recordings in one quantity; `mean` to `max` share its unit. A type, not an interface, so that it is a table's row. */
export type SummaryRow = {
  /** Null for recordings without that label. */
  readonly group: string | null;
  readonly quantity: string;
  /** Recordings that have the quantity. */
  readonly n: number;
  readonly mean: number;
  /** Spread between those recordings; null for a single one. */
  readonly sd: number | null;
  readonly min: number;
  readonly max: number;
};

export interface Summary extends Table<keyof SummaryRow> {
  readonly by: SummaryKey;
  readonly rows: readonly SummaryRow[];
}

/**
 * Summarises recordings by build, oil or piston.
 * @param rows one per recording, at most 10 000; left as they are
 * @param by what to group by
 * @returns a line per group and quantity, groups and quantities in the order they first appear; `n` counts the
 *   recordings that have the quantity, and a quantity that none of a group has gets no line. `sd` is the spread
 *   between those recordings, so within one build it is that of remounts and within an oil or a piston that of
 *   everything else that changed as well; it is null for a single recording
 * @throws too-many-rows
 */
export async function summarise(rows: readonly RecordingRow[], by: SummaryKey): Promise<Summary> {
  requireFewEnoughRows(rows.length, 'summarise');
  const groups = [...new Set(rows.map((row) => row[by]))];
  const numberOf = new Map(groups.map((group, i) => [group, i]));
  const quantities = [...new Set(rows.flatMap((row) => Object.keys(row.quantities)))];

  const statistics = new Map(
    await Promise.all(
      quantities.map(async (quantity) => {
        const present = rows.filter((row) => isNumber(row.quantities[quantity]));
        return [
          quantity,
          await statisticsByGroup(
            present.map((row) => numberOf.get(row[by])!),
            present.map((row) => row.quantities[quantity]!),
          ),
        ] as const;
      }),
    ),
  );
  return {
    by,
    columns: ['group', 'quantity', 'n', 'mean', 'sd', 'min', 'max'],
    rows: groups.flatMap((group, i) =>
      quantities.flatMap((quantity) => {
        const found = statistics.get(quantity)!.get(i);
        return found ? [{ group, quantity, ...found }] : [];
      }),
    ),
  };
}

function isNumber(value: number | null | undefined): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}
