/** Tables are for summaries of recordings; samples never come here. Frames take 34 ms at this many rows, 2.5 s at ten times as many. */
export const MAX_TABLE_ROWS = 10_000;

/**
 * Refuses more rows than tables are made for.
 * @param rows how many there are
 * @param where the function that was given them
 */
export function requireFewEnoughRows(rows: number, where: string): void {
  if (rows <= MAX_TABLE_ROWS) return;
  const detail = { found: `${rows} rows`, wanted: `at most ${MAX_TABLE_ROWS}`, where };
  throw Object.assign(new Error(`${where}: ${detail.found}; wanted ${detail.wanted}`), detail, {
    code: 'too-many-rows',
    isRigFailure: false,
    statusCode: 413,
  });
}
