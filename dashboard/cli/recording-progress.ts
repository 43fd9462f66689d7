import type { RecordingProgress } from '../../daq/index.js';
import { bar, progressLine } from './terminal.js';

/** Shows how far a recording is, on a terminal only. */
export function recordingProgress(label: string): { show(progress: RecordingProgress): void; clear(): void } {
  const line = progressLine();
  return {
    show: ({ elapsed_s, planned_s, speed_rev_per_s, samples, linesMissing }) => {
      const time =
        planned_s === null
          ? `${elapsed_s.toFixed(1)} s, Ctrl-C ends it`
          : `${bar(elapsed_s / planned_s, 12)} ${elapsed_s.toFixed(1)} of ${planned_s} s`;
      const speed = speed_rev_per_s === null ? '' : `  ${speed_rev_per_s} rev/s`;
      const lost = linesMissing === 0 ? '' : `  ${linesMissing} lost`;
      line.show(`${label}  ${time}${speed}  ${samples.force} samples${lost}`);
    },
    clear: line.clear,
  };
}
