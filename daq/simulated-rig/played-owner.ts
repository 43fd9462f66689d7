import type { Operator } from '../calibrating/known-values.js';

/** Mass of the finger that loads the simulated cell, kg, and how far its slide is moved, m. */
const push_kg = 0.3;
const compression_m = 0.008;
/** Half the stroke of its crank, m. */
const radius_m = 0.012;

/** What hands can do at a rig. */
interface Handled {
  hang(mass_kg: number): void;
  holdAt(position_m: number): void;
}

/** The owner of a simulated rig, who does at once what a guided procedure asks. */
export function playedOwner(rig: Handled): Operator {
  return {
    async ready({ what, value }, signal) {
      signal?.throwIfAborted();
      if (what === 'hang-mass') rig.hang(value);
      else if (what === 'hold-length') rig.holdAt(value);
      else if (what === 'push') rig.hang(push_kg);
      else if (what === 'unload' || what === 'extend') {
        rig.hang(0);
        rig.holdAt(0);
      } else rig.holdAt(compression_m);
    },
    async measured({ value }) {
      // Anywhere between the dead centres, and told to a hundredth of a millimetre as by a calliper.
      const position_m = Math.round(1e5 * radius_m * (1 - Math.cos(2 * Math.PI * value))) / 1e5;
      rig.holdAt(position_m);
      return position_m;
    },
  };
}
