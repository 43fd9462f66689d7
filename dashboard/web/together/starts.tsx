import { computed } from '@preact/signals';
import type { RecordingAnalysis } from '../../../analysis/index.js';
import { standingStarts } from '../../answers/index.js';
import { standingSentence } from '../../wording/index.js';
import { Chart } from '../charts/chart.js';
import { setting } from '../charts/setting.js';
import { startsFigure } from '../charts/starts.js';
import type { Identity } from '../identity/identity.js';
import { chosen } from './selection.js';

/** A build with the analyses of its recordings. */
interface Swept {
  readonly name: string;
  readonly identity: Identity;
  readonly analyses: readonly RecordingAnalysis[];
}

/** The chosen builds, the same object as long as the selection is the same. */
export const swept = computed<readonly Swept[]>(() =>
  chosen.value.map(({ build: { name }, identity, remounts }) => ({
    name,
    identity,
    analyses: remounts.map(({ analysis }) => analysis),
  })),
);

/** What standing does to the seals of builds, where slow sweeps among their recordings show it; else nothing. */
export function StartsAfterStanding({ builds }: { readonly builds: readonly Swept[] }) {
  const drawn = setting.value;
  const stood = builds
    .map(({ name, identity, analyses }) => ({
      name,
      identity,
      starts: analyses
        .flatMap(({ sweep }) => (sweep ? standingStarts(sweep) : []))
        .sort((a, b) => a.stood_s - b.stood_s),
    }))
    .filter(({ starts }) => starts.length > 0);
  if (stood.length === 0) return null;
  const sentences = stood.map(({ name, starts }) => {
    const sentence = standingSentence(starts, drawn.units)!;
    return builds.length > 1 ? `${name}: ${sentence}` : sentence;
  });
  return (
    <Chart
      title="Starts after standing"
      sentence={sentences.join(' ')}
      note="Each start beyond what its stroke then slides at, less the same of starts without standing. Bar: 95 % interval."
      height={drawn.isNarrow ? 280 : 320}
      figure={() => startsFigure(stood, drawn)}
      drawnFrom={[builds, drawn]}
      fileName="starts-after-standing"
    />
  );
}
