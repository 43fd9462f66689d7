import type { KernelName } from '../result.js';
import type { Trace } from '../trace.js';
import { withBends } from './bends.js';
import { type Featured, findFeatures, withCeilingOn } from './features.js';
import {
  type Candidate,
  inTheRunning,
  lagSpread,
  likeliest,
  searchKernels,
  settle,
} from './kernel-search.js';
import { type Polished, polish } from './polish.js';
import type { RecordedMotion } from './prepare.js';
import { problemFor, type Recording, recordingOf, searchTime_s } from './problem-grids.js';
import { repeatedShare } from './repeats.js';
import { sampleNoise } from './sample-noise.js';
import { solve } from './solve.js';
import { modelForSpeeds } from './supported-model.js';

/** A fitted recording: everything the report is made from. */
export interface Identification extends Polished {
  readonly kernel: KernelName;
  /** False where the rig declared the kernel. */
  readonly kernelChosen: boolean;
  /** Standard uncertainty of the lag from kernels that explain the recording about as well, s. */
  readonly kernelLag_s: number;
}

/**
 * Fits drag, damping, gas, moving mass and lag to a recording, choosing the converter's averaging by residual where
 * the rig does not declare it, and leaving out terms that the recording's speeds cannot support.
 * @param counts 1 per force sample that may be used
 * @param clusterOf cluster of each force sample, see `clusterCovariance`
 * @returns the identification, or null where not even drag and a constant can be told apart
 */
export function identify(
  trace: Trace,
  motion: RecordedMotion,
  counts: Uint8Array,
  clusterOf: Int32Array,
): Identification | null {
  const recording = recordingOf(trace, motion, counts);
  const searched = searchKernels(recording, modelForSpeeds(motion));
  let candidates = inTheRunning(searched).flatMap(settle);
  let best = likeliest(candidates, recording);
  if (best && unexplained(recording, best)) {
    const sound = best;
    const found = withFeatures(sound);
    // What was not explained yet may have bent the choice of kernel, so the others get their chance too.
    if (found.problem !== sound.problem) {
      const settled = candidates;
      candidates = searched.flatMap((one) => {
        if (one.kernel === sound.kernel) return [found];
        const known = settled.filter(({ kernel }) => kernel === one.kernel);
        return (known.length > 0 ? known : settle(one)).map(withFeatures);
      });
      best = likeliest(candidates, recording);
    }
  }
  if (!best) return null;
  const { kernel } = best;
  const near = withBends(refined(recording, kernel, best));
  const polished = polish(problemFor(recording, kernel, near.problem, 'fine'), near, clusterOf);
  return (
    polished && {
      ...polished,
      kernel,
      kernelChosen: trace.rig.kernel === null,
      kernelLag_s: lagSpread(candidates, kernel),
    }
  );
}

/** Share of a long recording that a fit is brought to before all of it. */
const foretaste = 1 / 8;

/** Where only some cycles were searched, the fit on a fine grid of more of them: all samples then need a look or two. */
function refined(recording: Recording, kernel: KernelName, found: Featured): Featured {
  const { time_s } = recording.trace.force;
  const share_s = foretaste * (time_s[time_s.length - 1] - time_s[0]);
  const most_s = Math.max(searchTime_s(recording), share_s);
  const fresh = problemFor(recording, kernel, found.problem, 'fine', most_s);
  if (fresh.grid.spans.length === 1) return found;
  const problem = fresh.features.atCeiling ? withCeilingOn(fresh, found) : fresh;
  const fit = solve(problem, found.fit, 1, 12, 1e-5);
  return fit ? { problem, fit } : found;
}

/**
 * Residual over the force's own sample-to-sample noise beyond which something is not explained yet, and the share of it
 * that must come back from stroke to stroke. Of 75 played recordings with air, a ceiling or a stop, the least share was
 * 0.36; of 50 sound ones, 45 were below 0.2.
 */
const suspicious = 1.5;
const leastRepeated = 0.2;

const withFeatures = (one: Candidate): Candidate => ({
  ...one,
  ...findFeatures(one.problem, one.fit, one.stride),
});

/** Whether a fit leaves more than noise, and that comes back with the motion. */
function unexplained({ trace, motion }: Recording, { problem, fit, stride }: Candidate): boolean {
  const { time_s, force_N } = trace.force;
  return (
    Math.sqrt(fit.rss / fit.used) > suspicious * sampleNoise(time_s, force_N) &&
    repeatedShare(problem, fit, motion.strokes.strokes, stride) > leastRepeated
  );
}
