import type { BuildId, Logbook, RecordingId } from '../../daq/index.js';
import { capture } from '../../daq/index.js';
import { randomFrom } from '../analysis/played/random.js';
import { type PulledSpring, pullAlong, pullShapes } from '../analysis/spring/pull-shapes.js';
import { invented } from './slow-csv.js';

/** Enters invented slow strokes, there and back in five cycles, as an imported recording; positions begin at 4 mm. */
export function enterSlowStrokes(
  logbook: Logbook,
  buildId: BuildId,
  procedure: 'spring-pull' | 'travel-sweep',
  change: Partial<PulledSpring> = {},
  stop: { readonly at_m: number; readonly stiffness_N_per_m: number } | null = null,
): RecordingId {
  const random = randomFrom(77);
  const path = pullShapes['five cycles']!(random);
  const { position_m, force_N } = pullAlong(path, { ...invented, ...change }, random);
  const times_s = Float64Array.from(position_m, (_, i) => i / 80);
  const stopped = force_N.map((force, i) =>
    stop ? force + stop.stiffness_N_per_m * Math.max(0, position_m[i]! - stop.at_m) : force,
  );
  return logbook.importRecording(
    {
      buildId,
      procedure: { ...capture(procedure, null), happened: [], events: [] },
      startedAt: '2026-01-02T04:00:00.000Z',
      source: `/somewhere/${procedure}.csv`,
    },
    [
      { kind: 'force', unit: 'N', times_s, values: Float64Array.from(stopped) },
      { kind: 'position', unit: 'm', times_s, values: Float64Array.from(position_m) },
    ],
  );
}
