import { estimateOf } from './estimate.js';
import { fittedSamples } from './findings/evidence.js';
import { findingsOf } from './findings/findings-of.js';
import { asFelt } from './identification/felt-strokes.js';
import { identify } from './identification/identify.js';
import { modelErrorsOf } from './identification/model-errors.js';
import { pictureOf } from './identification/picture.js';
import { recordedMotion } from './identification/prepare.js';
import { recogniseProcedure } from './identification/procedure.js';
import { estimatesOf } from './identification/report.js';
import { clustersOf, type UsableSamples, usableSamples } from './identification/samples.js';
import { readyTrace } from './intake/ready-trace.js';
import type { AnalysisOutcome, AnalysisRefusal, CurvePoint, Estimate, RecordingAnalysis } from './result.js';
import { slowSweepOf } from './slow-sweep.js';
import type { KnownLag, Trace } from './trace.js';

/** Told how far an analysis is, a share from 0 to 1 that never falls; throwing from it ends the analysis. */
export type AnalysisProgress = (share: number) => void;

/** Shares of the time at which the stages end, measured on ladders of 16 thousand samples. */
const stage = { ready: 0.03, moved: 0.2, identified: 0.78, reported: 1 } as const;

/** Fewer usable force samples than this are no recording. */
const leastUsable = 60;

/**
 * Separates what a recording's force is made of: seal drag and breakaway, damping per direction, trapped gas, moving
 * mass and lag, each with a 95 % interval.
 * @param recording checked, see `makeTrace`
 * @param progress told after each stage
 * @returns the analysis with the curves and points to draw it, or the reason it cannot be done
 * Numerical notes: estimates whose parameters the recording cannot support are null and listed in `notIdentified`.
 *   Single wild samples are left out and counted as missing; pauses without samples cost neither time nor memory.
 */
export function analyzeRecording(recording: Trace, progress: AnalysisProgress = () => {}): AnalysisOutcome {
  const ready = readyTrace(withSeparateLag(recording));
  if (!ready.ok) return ready;
  const { trace } = ready;
  progress(stage.ready);
  const moved = recordedMotion(trace);
  if (!moved.ok) return moved;
  const usable = usableSamples(trace, moved.motion);
  const unusable = refuseUnusable(usable, trace);
  if (unusable) return { ok: false, refusal: unusable };
  const motion = asFelt(moved.motion, trace.force.time_s, usable.counts);
  progress(stage.moved);
  const clusterOf = clustersOf(trace.force.time_s, motion);
  const identification = identify(trace, motion, usable.counts, clusterOf);
  if (!identification)
    return {
      ok: false,
      refusal: {
        code: 'singular',
        found: 'a motion in which drag, gas and damping cannot be told apart',
        wanted: 'several strokes in both directions',
      },
    };
  progress(stage.identified);
  const estimates = estimatesOf(identification, modelErrorsOf(motion));
  const [slowest, fastest] = speedRange(identification.problem.grid.velocity_m_per_s);
  const velocities = curveVelocities(slowest, fastest);
  const damped = estimates.compression.linear !== null;
  const curve = damped ? velocities.map((v) => estimates.curvePoint(v, false)) : [];
  const total: CurvePoint[] = velocities.map((v) => estimates.curvePoint(v, true));
  const analysis: RecordingAnalysis = {
    samples: recording.force.time_s.length,
    cycles: motion.strokes.cycles.length,
    procedure: trace.procedure ?? recogniseProcedure(motion, trace),
    friction: estimates.friction,
    damping: {
      compression: {
        linear_Ns_per_m: estimates.compression.linear,
        quadratic_Ns2_per_m2: estimates.compression.quadratic,
      },
      rebound: {
        linear_Ns_per_m: estimates.rebound.linear,
        quadratic_Ns2_per_m2: estimates.rebound.quadratic,
      },
      curve,
    },
    gas: { offset_N: estimates.gasOffset_N, rate_N_per_mm: estimates.gasRate_N_per_mm },
    rig: {
      lag_ms: lagOf(estimates.lag_ms, trace.rig.lag),
      kernel: identification.kernel,
      movingMass_kg: estimates.mass_kg,
    },
    temperature_degC: meanOf(trace.temperature.temperature_degC),
    residual_N: Math.sqrt(identification.fit.rss / identification.fit.used),
    notIdentified: [],
    findings: [],
  };
  const samples = fittedSamples(identification, motion);
  const { points } = pictureOf(identification, total);
  const outcome: AnalysisOutcome = {
    ok: true,
    analysis: {
      ...analysis,
      notIdentified: missingEstimates(analysis),
      findings: findingsOf({ trace: ready.recorded, motion, identification, analysis, usable, samples }),
      ...(analysis.procedure === 'slow-sweep' ? { sweep: slowSweepOf(samples, motion) } : {}),
    },
    picture: { points: { ...points, time_s: ready.restore(points.time_s) }, total },
  };
  progress(stage.reported);
  return outcome;
}

/**
 * A lag that was found without knowing the converter holds the converter's own delay, which the fit looks for as well:
 * it is left out, and the fit finds both.
 */
function withSeparateLag(trace: Trace): Trace {
  return trace.rig.kernel === null ? { ...trace, rig: { ...trace.rig, lag: null } } : trace;
}

function refuseUnusable(
  { counts, saturated }: UsableSamples,
  { force, position }: Trace,
): AnalysisRefusal | null {
  let used = 0;
  for (const value of counts) used += value;
  if (used >= leastUsable) return null;
  const [from_s, to_s] = [position.time_s[0], position.time_s[position.time_s.length - 1]];
  const together = force.time_s.filter((t) => t >= from_s && t <= to_s).length - saturated;
  if (together >= leastUsable)
    return {
      code: 'too-short',
      found: `${used} force samples whose motion is known, the lag before them too`,
      wanted: `at least ${leastUsable}: a longer recording`,
    };
  return saturated > counts.length / 2
    ? {
        code: 'all-saturated',
        found: `${saturated} of ${counts.length} force samples at the ends of the cell's range`,
        wanted: 'a force within it; is the cell overloaded or disconnected?',
      }
    : {
        code: 'no-overlap',
        found: `${used} of ${counts.length} force samples taken while position was`,
        wanted: `at least ${leastUsable}; are both channels on one clock?`,
      };
}

function speedRange(velocity_m_per_s: Float64Array): [number, number] {
  let low = 0;
  let high = 0;
  for (const v of velocity_m_per_s) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return [low, high];
}

/**
 * The lag as the fit sees what the known one left of it, or as it was known, whichever is known better; null where
 * neither says anything.
 */
function lagOf(left_ms: Estimate | null, known: KnownLag | null): Estimate | null {
  if (!known) return left_ms;
  const known_ms = 1e3 * known.value_s;
  const knownError_ms = 1e3 * known.standardUncertainty_s;
  if (!left_ms || knownError_ms < left_ms.standardError) return estimateOf(known_ms, knownError_ms);
  const { value, standardError, low95, high95 } = left_ms;
  return {
    value: known_ms + value,
    standardError,
    low95: known_ms + low95,
    high95: known_ms + high95,
  };
}

/** Velocities at which curves are given, both directions: closer together where the Stribeck effect bends them. */
function curveVelocities(slowest: number, fastest: number): number[] {
  const shares = [0.01, 0.02, 0.04, 0.07, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1];
  return [...shares.map((share) => share * slowest).reverse(), ...shares.map((share) => share * fastest)];
}

function missingEstimates(analysis: RecordingAnalysis): string[] {
  const groups: Record<string, Estimate | null> = {
    'friction.mean_N': analysis.friction.mean_N,
    'friction.compression_N': analysis.friction.compression_N,
    'friction.rebound_N': analysis.friction.rebound_N,
    'friction.breakaway_N': analysis.friction.breakaway_N,
    'damping.compression.linear_Ns_per_m': analysis.damping.compression.linear_Ns_per_m,
    'damping.compression.quadratic_Ns2_per_m2': analysis.damping.compression.quadratic_Ns2_per_m2,
    'damping.rebound.linear_Ns_per_m': analysis.damping.rebound.linear_Ns_per_m,
    'damping.rebound.quadratic_Ns2_per_m2': analysis.damping.rebound.quadratic_Ns2_per_m2,
    'gas.offset_N': analysis.gas.offset_N,
    'gas.rate_N_per_mm': analysis.gas.rate_N_per_mm,
    'rig.lag_ms': analysis.rig.lag_ms,
    'rig.movingMass_kg': analysis.rig.movingMass_kg,
  };
  return Object.keys(groups).filter((path) => groups[path] === null);
}

const meanOf = (values: Float64Array): number | null =>
  values.length > 0 ? values.reduce((a, b) => a + b, 0) / values.length : null;
