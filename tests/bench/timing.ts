/**
 * Shortest of several runs, s: what else the machine does only ever adds.
 * @param most_s time after which no further run is begun
 */
export async function shortest_s(run: () => unknown, runs = 7, most_s = 20): Promise<number> {
  let least = Number.POSITIVE_INFINITY;
  const begun = performance.now();
  for (let i = 0; i < runs && performance.now() - begun < 1e3 * most_s; i++) {
    const from = performance.now();
    await run();
    least = Math.min(least, (performance.now() - from) / 1e3);
  }
  return least;
}
