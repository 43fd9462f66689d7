import { useSignal } from '@preact/signals';
import { address, go } from '../address.js';
import { Chart } from '../charts/chart.js';
import { forcePositionFigure } from '../charts/force-position.js';
import { forceVelocityFigure } from '../charts/force-velocity.js';
import { frictionBarsFigure } from '../charts/friction-bars.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { narrow, theme } from '../theme.js';
import { Reading } from './reading.js';

/** Where curves are read until somebody chooses: the speed that sentences quote. */
const QUOTED_SPEED_MM_PER_S = 100;

/** The chosen builds in three pictures, the first of which can be read at any speed. */
export function Pictures({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const hovered = useSignal<number | null>(null);
  const readAt = hovered.value ?? address.value.readAt_mm_per_s ?? QUOTED_SPEED_MM_PER_S;
  const drawnFrom = [builds, theme.value];
  const isNarrow = narrow.value;
  return (
    <>
      <div class="main-picture">
        <Chart
          title="Force against velocity"
          note="Line: drag and damping. Band: 95 % interval over the remounts. Points: measured, less gas and inertia."
          height={isNarrow ? 320 : 440}
          figure={(size) => forceVelocityFigure(builds, theme.value, size, isNarrow)}
          drawnFrom={drawnFrom}
          fileName="force-against-velocity"
          reading={{
            at: readAt,
            onRead: (at) => {
              hovered.value = Math.round(at);
            },
          }}
        />
        <Reading
          builds={builds}
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
          figure={(size) => frictionBarsFigure(builds, theme.value, size, isNarrow)}
          drawnFrom={drawnFrom}
          fileName="drag-and-breakaway"
        />
        <Chart
          title="Force against position"
          note="Line: the fastest stroke cycle of the last remount, as fitted. Points: all that was measured."
          height={isNarrow ? 300 : 320}
          figure={(size) => forcePositionFigure(builds, theme.value, size, isNarrow)}
          drawnFrom={drawnFrom}
          fileName="force-against-position"
        />
      </div>
    </>
  );
}
