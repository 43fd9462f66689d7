import { useSignal } from '@preact/signals';
import { differenceReachSentence, dragAlongSentence, overlayName, overlayNote } from '../../wording/index.js';
import { address, go } from '../address.js';
import { Chart } from '../charts/chart.js';
import { differenceFigure } from '../charts/difference.js';
import { dragPositionFigure } from '../charts/drag-position.js';
import { forceVelocityFigure } from '../charts/force-velocity.js';
import { frictionBarsFigure } from '../charts/friction-bars.js';
import { type PicturedBuild, visible } from '../charts/pictured-build.js';
import { scalesOf, setting } from '../charts/setting.js';
import { DampingAtSpeeds } from './damping-at-speeds.js';
import { toggleHidden } from './hide.js';
import { Loops } from './loops.js';
import { Reading } from './reading.js';
import { view } from './selection.js';

/** Where curves are read until somebody chooses: the speed that sentences quote. */
const QUOTED_SPEED_MM_PER_S = 100;

/** The chosen builds in pictures, the first of which can be read at any speed. */
export function Pictures({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const hovered = useSignal<number | null>(null);
  const readAt = hovered.value ?? address.value.readAt_mm_per_s ?? QUOTED_SPEED_MM_PER_S;
  const { kind, side, at_degC } = view.value;
  const drawn = setting.value;
  const { isNarrow, units } = drawn;
  const perUnit = 1000 / scalesOf(units).velocity.factor;
  const others = visible(builds.slice(1));
  const drawnFrom = [builds, drawn];
  return (
    <>
      <div class="main-picture">
        <Chart
          title="Force against velocity"
          note={overlayNote(kind, at_degC)}
          height={isNarrow ? 320 : 440}
          figure={(size) => forceVelocityFigure(builds, kind, drawn, size)}
          drawnFrom={drawnFrom}
          fileName="force-against-velocity"
          onLabel={hideNamed}
          reading={{
            at: readAt / perUnit,
            onRead: (at) => {
              hovered.value = Math.round(at * perUnit);
            },
          }}
        />
        <Reading
          builds={visible(builds)}
          quantity={overlayName(kind)}
          at_mm_per_s={readAt}
          onRead={(at) => {
            hovered.value = null;
            go({ readAt_mm_per_s: at }, 'replace');
          }}
        />
      </div>
      <div class="two-pictures">
        <Chart
          title="Drag and breakaway"
          note="Bar: over the remounts, with its 95 % interval. Marks: each remount alone."
          height={isNarrow ? 260 : 320}
          figure={(size) => frictionBarsFigure(builds, drawn, size)}
          drawnFrom={drawnFrom}
          fileName="drag-and-breakaway"
        />
        {builds.length > 1 ? (
          <Chart
            title="Difference to the reference"
            sentence={others
              .map(({ name, difference }) =>
                differenceReachSentence({ name, reference: builds[0]!.name, kind }, difference, units),
              )
              .join(' ')}
            note={`The reference, ${builds[0]!.name}, is the line at zero. Band: 95 % interval of the difference.`}
            height={isNarrow ? 280 : 320}
            figure={(size) => differenceFigure(builds, kind, drawn, size)}
            drawnFrom={drawnFrom}
            fileName="difference-to-reference"
            onLabel={hideNamed}
          />
        ) : (
          <Loops builds={builds} />
        )}
        <DampingAtSpeeds builds={builds} />
        <Chart
          title="Drag against position"
          sentence={dragAlongSentence(
            visible(builds).map(({ name, dragAlong }) => ({ name, along: dragAlong })),
            units,
          )}
          note="From the slower half of the strokes, less damping: compression above zero, rebound below. Band: 95 % interval over the remounts."
          height={isNarrow ? 280 : 320}
          figure={() => dragPositionFigure(builds, side, drawn)}
          drawnFrom={[...drawnFrom, side]}
          fileName="drag-against-position"
        />
        {builds.length > 1 && <Loops builds={builds} />}
      </div>
    </>
  );
}

/** A name at the end of a line was clicked. */
function hideNamed(name: string): void {
  const id = Number(/^build (\d+)$/.exec(name)?.[1]);
  if (id > 0) toggleHidden(id);
}
