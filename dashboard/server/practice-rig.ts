import { randomInt } from 'node:crypto';
import type { RigLinkOptions } from '../../daq/index.js';
import {
  type SimulatedBuildName,
  type SimulatedRig,
  simulatedBuilds,
  simulatedRig,
} from '../../daq/simulated-rig/index.js';

/** The simulated rig of one sitting: it keeps its faults, and every recording on it is a mounting of its own. */
export interface PracticeRig {
  readonly seed: number;
  /** Puts one of `practiceBuilds` on and says how to open the rig. */
  mount(build: string): RigLinkOptions;
}

export const practiceBuilds = Object.keys(simulatedBuilds) as SimulatedBuildName[];

export function practiceRig(pace: 'real' | 'simulated', seed = randomInt(1, 2 ** 31)): PracticeRig {
  let rig: SimulatedRig | null = null;
  return {
    seed,
    mount(name) {
      const build = name as SimulatedBuildName;
      if (rig) rig.mount(build);
      else rig = simulatedRig({ seed, build, pace });
      return { path: rig.path, binding: rig.binding, clock: rig.clock };
    },
  };
}
