import { useSignal } from '@preact/signals';
import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';
import { differenceReachSentence, dragAlongSentence, overlayName, overlayNote } from '../../wording/index.js';
import { address, go } from '../address.js';
import { Chart } from '../charts/chart.js';
import { differenceFigure } from '../charts/difference.js';
import { dragPositionFigure } from '../charts/drag-position.js';
import { forceVelocityFigure } from '../charts/force-velocity.js';
import { frictionBarsFigure } from '../charts/friction-bars.js';
import { type PicturedBuild, visible } from '../charts/pictured-build.js';
import { scalesOf, setting } from '../charts/setting.js';
import { InTurn } from '../pieces/in-turn.js';
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
  const { kind, at_degC } = view.value;
  const drawn = setting.value;
  const { isNarrow, units } = drawn;
  const perUnit = 1000 / scalesOf(units).velocity.factor;
  const drawnFrom = [builds, drawn, kind, at_degC];
  // The same again while only the reading moves.
  const beside = useMemo(
    () =>
      others(builds).map((Other) => (
        <InTurn key={Other}>
          <Other builds={builds} />
        </InTurn>
      )),
    drawnFrom,
  );
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
      <div class="two-pictures">{beside}</div>
    </>
  );
}

type Picture = (props: { readonly builds: readonly PicturedBuild[] }) => VNode;

/** The pictures beside the overlay, each drawn in its turn. */
const others = (builds: readonly PicturedBuild[]): readonly Picture[] =>
  builds.length > 1
    ? [Friction, Difference, DampingAtSpeeds, DragAlong, Loops]
    : [Friction, Loops, DampingAtSpeeds, DragAlong];

function Friction({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const drawn = setting.value;
  return (
    <Chart
      title="Drag and breakaway"
      note="Bar: over the remounts, with its 95 % interval. Marks: each remount alone."
      height={drawn.isNarrow ? 260 : 320}
      figure={(size) => frictionBarsFigure(builds, drawn, size)}
      drawnFrom={[builds, drawn]}
      fileName="drag-and-breakaway"
    />
  );
}

function Difference({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const { kind } = view.value;
  const drawn = setting.value;
  const [reference, ...later] = builds;
  return (
    <Chart
      title="Difference to the reference"
      sentence={visible(later)
        .map(({ name, difference }) =>
          differenceReachSentence({ name, reference: reference!.name, kind }, difference, drawn.units),
        )
        .join(' ')}
      note={`The reference, ${reference!.name}, is the line at zero. Band: 95 % interval of the difference.`}
      height={drawn.isNarrow ? 280 : 320}
      figure={(size) => differenceFigure(builds, kind, drawn, size)}
      drawnFrom={[builds, drawn]}
      fileName="difference-to-reference"
      onLabel={hideNamed}
    />
  );
}

function DragAlong({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const { side } = view.value;
  const drawn = setting.value;
  return (
    <Chart
      title="Drag against position"
      sentence={dragAlongSentence(
        visible(builds).map(({ name, dragAlong }) => ({ name, along: dragAlong })),
        drawn.units,
      )}
      note="From the slower half of the strokes, less damping: compression above zero, rebound below. Band: 95 % interval over the remounts."
      height={drawn.isNarrow ? 280 : 320}
      figure={() => dragPositionFigure(builds, side, drawn)}
      drawnFrom={[builds, drawn, side]}
      fileName="drag-against-position"
    />
  );
}

/** A name at the end of a line was clicked. */
function hideNamed(name: string): void {
  const id = Number(/^build (\d+)$/.exec(name)?.[1]);
  if (id > 0) toggleHidden(id);
}
