import { HAND_BAND, type RecordingProgress } from '../../daq/index.js';
import { bar, progressLine, wrap } from './terminal.js';

export interface ProgressOptions {
  /** A person turns the crank and is told how fast. */
  readonly byHand?: boolean;
}

/** Shows how far a recording is, on a terminal only; who turns the crank by hand is told each step anywhere. */
export function recordingProgress(
  label: string,
  { byHand = false }: ProgressOptions = {},
): { show(progress: RecordingProgress): void; clear(): void } {
  const line = progressLine();
  let told = -1;
  return {
    show(progress) {
      const { step } = progress;
      if (byHand && step && step.index !== told) {
        told = step.index;
        line.clear();
        process.stderr.write(`${wrap(stepPrompt(step), 78, '  ')}\n`);
      }
      line.show(byHand && step ? handLine(progress, step) : driveLine(label, progress));
    },
    clear: line.clear,
  };
}

type StepNow = NonNullable<RecordingProgress['step']>;

function driveLine(label: string, progress: RecordingProgress): string {
  const { elapsed_s, planned_s, speed_rev_per_s, samples, linesMissing } = progress;
  const time =
    planned_s === null
      ? `${elapsed_s.toFixed(1)} s, any key ends it`
      : `${bar(elapsed_s / planned_s, 12)} ${elapsed_s.toFixed(1)} of ${planned_s.toFixed(0)} s`;
  const speed = speed_rev_per_s === null ? '' : `  ${speed_rev_per_s} rev/s, any key stops`;
  return `${label}  ${time}${speed}  ${samples.force} samples${lossText(linesMissing)}`;
}

/** "Step 2 of 5: turn at about 0.35 rev/s, a turn in 2.9 s, until 6 turns are within the band." */
function stepPrompt({ index, count, step: { speed_rev_per_s, turns } }: StepNow): string {
  const speed = speed_rev_per_s ?? 0;
  const turn_s = (1 / speed).toPrecision(2);
  return (
    `Step ${index + 1} of ${count}: turn at about ${speed} rev/s, a whole turn in ${turn_s} s, until ` +
    `${turns ?? 'enough'} turns are within the band. Enter goes on to the next, any other key ends the recording.`
  );
}

function handLine({ crank_rev_per_s, linesMissing }: RecordingProgress, now: StepNow): string {
  const wanted = now.step.speed_rev_per_s ?? 0;
  const is = crank_rev_per_s === null ? 'turn the crank' : `${crank_rev_per_s.toFixed(2)} rev/s`;
  const done = `${now.turns().toFixed(1)} of ${now.step.turns ?? '–'} turns`;
  return `${speedBar(crank_rev_per_s, wanted)}  ${is}, ${adviceFor(crank_rev_per_s, wanted)}  ${done}${lossText(linesMissing)}`;
}

function adviceFor(speed: number | null, wanted: number): string {
  if (speed === null) return `wanted ${wanted}`;
  if (speed < wanted * (1 - HAND_BAND)) return 'faster';
  return speed > wanted * (1 + HAND_BAND) ? 'slower' : 'good';
}

const BAR_CELLS = 31;
/** Speeds a factor of three away stand at the ends of the bar. */
const BAR_FACTOR = 3;

/** Where a speed stands on a logarithmic bar with the wanted band marked: `────────────[══●══]───────────`. */
export function speedBar(speed: number | null, wanted: number): string {
  const middle = (BAR_CELLS - 1) / 2;
  const cellOf = (factor: number) => Math.round(middle * (1 + Math.log(factor) / Math.log(BAR_FACTOR)));
  const [low, high] = [cellOf(1 - HAND_BAND), cellOf(1 + HAND_BAND)];
  const cells = Array.from({ length: BAR_CELLS }, (_, cell): string => {
    if (cell === low) return '[';
    if (cell === high) return ']';
    return cell > low && cell < high ? '═' : '─';
  });
  if (speed !== null && speed > 0) cells[Math.min(BAR_CELLS - 1, Math.max(0, cellOf(speed / wanted)))] = '●';
  return cells.join('');
}

function lossText(linesMissing: number): string {
  return linesMissing === 0 ? '' : `  ${linesMissing} lost`;
}
