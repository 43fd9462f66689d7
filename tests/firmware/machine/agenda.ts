/** What happens outside the controller, in its order. Times are cycles of the controller's clock since power-on. */
export interface Agenda {
  /** Cycle of the next thing, infinite without one. */
  readonly next: number;
  at(cycle: number, happen: () => void): void;
  /** Lets everything due by this cycle happen. */
  happenUntil(cycle: number): void;
}

interface Entry {
  readonly cycle: number;
  readonly happen: () => void;
}

export function agenda(): Agenda {
  /** Latest first, so that the next is at the end. */
  const entries: Entry[] = [];
  return {
    get next() {
      return entries.length > 0 ? entries[entries.length - 1]!.cycle : Number.POSITIVE_INFINITY;
    },
    at(cycle, happen) {
      let place = entries.length;
      while (place > 0 && entries[place - 1]!.cycle <= cycle) place--;
      entries.splice(place, 0, { cycle, happen });
    },
    happenUntil(cycle) {
      while (entries.length > 0 && entries[entries.length - 1]!.cycle <= cycle) entries.pop()!.happen();
    },
  };
}
