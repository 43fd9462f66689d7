/** What can go wrong on cue. Each happens once, `at_s` seconds after the first START. */
export type SimulatedFault =
  /** The cable loses lines; the device does not know. */
  | { readonly kind: 'drop-lines'; readonly at_s: number; readonly count: number }
  /** One bit of the next line is turned over on the way. */
  | { readonly kind: 'flip-bit'; readonly at_s: number }
  /** The next line stops half-way and the device starts anew. */
  | { readonly kind: 'reset'; readonly at_s: number }
  /** Nothing arrives for a while, though the device goes on sending. */
  | { readonly kind: 'silence'; readonly at_s: number; readonly for_s: number }
  /** Something else pushes on the cell. */
  | { readonly kind: 'push'; readonly at_s: number; readonly for_s: number; readonly force_N: number }
  /** Someone presses the stop at the rig. */
  | { readonly kind: 'operator-stop'; readonly at_s: number }
  /** The converter is read too slowly: one wrong number, then four conversions of settling. */
  | { readonly kind: 'converter-lapse'; readonly at_s: number }
  /** The plug is pulled and put back later. */
  | { readonly kind: 'unplug'; readonly at_s: number; readonly for_s: number };

/** What happens when the port is opened: nothing, a reset, or a reset through a boot loader that talks first. */
export type SimulatedOpening = 'nothing' | 'reset' | 'boot-loader';

/** Hands out faults in the order of their times. */
export interface FaultSchedule {
  /** Begins to count, once. */
  start(time_s: number): void;
  /** True time of the next fault, infinite when there is none. */
  readonly next_s: number;
  /** Takes the next fault when its time has come. */
  take(time_s: number): SimulatedFault | undefined;
}

/** Orders faults by time; they wait for `start`. */
export function faultSchedule(faults: readonly SimulatedFault[]): FaultSchedule {
  const waiting = [...faults].sort((a, b) => a.at_s - b.at_s);
  let origin_s = Number.POSITIVE_INFINITY;
  const schedule: FaultSchedule = {
    start(time_s) {
      if (origin_s === Number.POSITIVE_INFINITY) origin_s = time_s;
    },
    get next_s() {
      return waiting.length > 0 ? origin_s + waiting[0]!.at_s : Number.POSITIVE_INFINITY;
    },
    take(time_s) {
      return schedule.next_s <= time_s ? waiting.shift() : undefined;
    },
  };
  return schedule;
}
