import type { TermName } from './identification/columns.js';
import type { Identification } from './identification/identify.js';
import type { RecordedMotion } from './identification/prepare.js';
import { medianPeriod, type UsableSamples } from './identification/samples.js';
import type { Finding, RecordingAnalysis } from './result.js';
import type { Trace } from './trace.js';

const fewestCycles = 8;
/** A stop stiffer than this is metal or hard plastic; a foam or rubber bumper is softer. From memory, no source. */
const hardStop_N_per_mm = 20;
/** Samples in the fastest cycle below which its shape is not seen. */
const fewestPerCycle = 16;

/** What is worth telling about a recording, most serious first. */
export function findingsOf(
  trace: Trace,
  motion: RecordedMotion,
  identification: Identification,
  analysis: RecordingAnalysis,
  usable: UsableSamples,
): Finding[] {
  const found: Finding[] = [];
  const warn = (code: Finding['code'], values: Finding['values']) =>
    found.push({ code, severity: 'warning', values });
  const note = (code: Finding['code'], values: Finding['values']) =>
    found.push({ code, severity: 'note', values });
  const mean = analysis.friction.mean_N;
  if (mean && mean.high95 < 0) warn('sign-reversed', { channel: 'force' });
  if (usable.saturated > 0)
    warn('force-saturated', {
      samples: usable.saturated,
      share_percent: (100 * usable.saturated) / trace.force.time_s.length,
    });
  const seenMissing = missingSamples(trace.force.time_s) + missingSamples(trace.position.time_s);
  const missing = Math.max(trace.rig.samplesMissing, seenMissing);
  if (missing > 0) warn('samples-missing', { samples: missing });
  if (analysis.cycles < fewestCycles && analysis.procedure !== 'slow-sweep')
    warn('too-few-cycles', { cycles: analysis.cycles, wanted: fewestCycles });
  for (const finding of featureFindings(identification)) found.push(finding);
  const period_s = medianPeriod(trace.force.time_s);
  const fastest_s = motion.strokes.cycles.reduce(
    (least, { period_s }) => Math.min(least, period_s),
    Number.POSITIVE_INFINITY,
  );
  if (fastest_s / period_s < fewestPerCycle)
    warn('too-slow-sampling', { samplesPerCycle: fastest_s / period_s, wanted: fewestPerCycle });
  const lag = analysis.rig.lag_ms;
  if (!lag || lag.high95 - lag.low95 > 2)
    note('lag-unresolved', { halfWidth_ms: lag ? (lag.high95 - lag.low95) / 2 : 'unknown' });
  if (identification.kernelChosen && identification.kernel !== 'none')
    note('kernel-chosen', { kernel: identification.kernel });
  return found;
}

/** Samples that should have been there, from gaps in a channel's own times. */
function missingSamples(time_s: Float64Array): number {
  const period_s = medianPeriod(time_s);
  let missing = 0;
  for (let i = 1; i < time_s.length; i++) {
    const steps = (time_s[i] - time_s[i - 1]) / period_s;
    if (steps > 1.5) missing += Math.round(steps) - 1;
  }
  return missing;
}

/** What the fit found the shock to do beyond gas, drag and damping. */
function featureFindings({ problem, fit }: Identification): Finding[] {
  const { features, terms, span } = problem;
  const of = (term: TermName) => fit.coefficients[terms.indexOf(term)] ?? 0;
  const found: Finding[] = [];
  if (features.travel_m)
    found.push({
      code: 'air-in-oil',
      severity: 'warning',
      values: { deadStroke_mm: 1e3 * fit.shape.deadStroke_m },
    });
  if (features.atCeiling?.some((value) => value === 1))
    found.push({ code: 'compression-ceiling', severity: 'warning', values: { force_N: of('ceiling') } });
  if (features.stopSide !== null) {
    const reach_m = features.stopSide > 0 ? span.high_m - fit.shape.stop_m : fit.shape.stop_m - span.low_m;
    const stiffness_N_per_mm = of('stop') * 1e-3;
    found.push({
      code: 'end-contact',
      severity: 'warning',
      values: {
        position_mm: 1e3 * fit.shape.stop_m,
        kind: stiffness_N_per_mm > hardStop_N_per_mm ? 'hard' : 'soft',
        side: features.stopSide > 0 ? 'compression' : 'extension',
        stiffness_N_per_mm,
        pressed_mm: 1e3 * reach_m,
      },
    });
  }
  return found;
}
