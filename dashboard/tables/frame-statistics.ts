import type { DataFrame } from 'danfojs-node';

/** What one group's values come to. */
export interface GroupStatistics {
  readonly n: number;
  readonly mean: number;
  /** Sample standard deviation (n - 1); null for a single value, whose spread nobody knows. */
  readonly sd: number | null;
  readonly min: number;
  readonly max: number;
}

/**
 * Summarises values group by group. The only module that touches danfojs-node, which is loaded on first use.
 * @param groups a whole number per value: which group it belongs to, any order
 * @param values finite numbers in one unit, as many as `groups`
 * @returns the statistics of each group that has a value; an empty map for no values
 *
 * Numerical notes: float64 throughout. Groups go in as numbers because danfojs joins and splits group names at
 * hyphens and keeps them as property names; no values never reach it because an empty frame throws; its spread
 * of a single value, 0, is replaced by null.
 */
export async function statisticsByGroup(
  groups: readonly number[],
  values: readonly number[],
): Promise<Map<number, GroupStatistics>> {
  if (groups.length !== values.length)
    throw new RangeError(`${groups.length} groups for ${values.length} values`);
  if (values.length === 0) return new Map();

  const danfojs = (await import('danfojs-node')).default;
  const frame: DataFrame = new danfojs.DataFrame({ group: [...groups], value: [...values] });
  const summary: DataFrame = frame.groupby(['group']).agg({ value: ['count', 'mean', 'std', 'min', 'max'] });
  const column = (name: string): number[] => summary[name].values;
  const [group, n, mean, sd, min, max] = ['group', ...aggregates].map(column) as [
    number[],
    number[],
    number[],
    number[],
    number[],
    number[],
  ];
  return new Map(
    group.map((key, i) => [
      key,
      { n: n[i]!, mean: mean[i]!, sd: n[i]! > 1 ? sd[i]! : null, min: min[i]!, max: max[i]! },
    ]),
  );
}

const aggregates = ['value_count', 'value_mean', 'value_std', 'value_min', 'value_max'];
