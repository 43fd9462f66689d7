/**
 * Moves values as little as needed so that neighbours are at least `gap` apart; their order is kept.
 * @param within where all of them come to lie, if there is room for so many
 */
export function spreadApart(
  values: readonly number[],
  gap: number,
  within: readonly [low: number, high: number] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY],
): number[] {
  const order = values.map((_, index) => index).sort((a, b) => values[a]! - values[b]!);
  // Groups of touching labels, each centred on the mean of where its members wanted to be.
  const groups: { members: number[]; centre: number }[] = [];
  for (const index of order) {
    groups.push({ members: [index], centre: values[index]! });
    while (groups.length > 1) {
      const [below, above] = groups.slice(-2) as [(typeof groups)[0], (typeof groups)[0]];
      const room = ((below.members.length + above.members.length) * gap) / 2;
      if (above.centre - below.centre >= room) break;
      const members = [...below.members, ...above.members];
      const centre = members.reduce((sum, member) => sum + values[member]!, 0) / members.length;
      groups.splice(-2, 2, { members, centre });
    }
  }
  const placed = new Array<number>(values.length);
  for (const { members, centre } of groups)
    members.forEach((member, rank) => {
      placed[member] = centre + (rank - (members.length - 1) / 2) * gap;
    });
  let [floor, ceiling] = within;
  for (const index of order.toReversed()) {
    placed[index] = Math.min(placed[index]!, ceiling);
    ceiling = placed[index]! - gap;
  }
  for (const index of order) {
    placed[index] = Math.max(placed[index]!, floor);
    floor = placed[index]! + gap;
  }
  return placed;
}
