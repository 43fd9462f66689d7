import type { GuidedStep, Operator } from '../../daq/calibrating/known-values.js';
import type { SimulatedRig } from '../../daq/simulated-rig/index.js';

/** Does at a simulated rig what its owner is asked to do; notes each step. */
export function handsOf(rig: SimulatedRig, onStep: (step: GuidedStep) => void = () => {}) {
  const steps: GuidedStep[] = [];
  const operator: Operator = {
    async ready(step, signal) {
      signal?.throwIfAborted();
      steps.push(step);
      onStep(step);
      if (step.what === 'hang-mass') rig.hang(step.value);
      else rig.holdAt(step.value);
    },
    async measured(step) {
      steps.push(step);
      const position_m = 0.012 * (1 - Math.cos(Math.PI * step.value));
      rig.holdAt(position_m);
      return position_m;
    },
  };
  return { operator, steps };
}
