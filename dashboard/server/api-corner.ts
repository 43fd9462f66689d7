/** What travels between the server and the page about springs, travel, corners and remounts. Types only. */
import type {
  CornerSpringsAnswer,
  MoreRemountsAnswer,
  SpringAnswer,
  TravelAnswer,
} from '../answers/index.js';

/** Measured force against position of slow strokes, thinned for drawing, in the recording's own coordinate. */
export interface ApiSlowPoints {
  readonly position_mm: readonly number[];
  readonly force_N: readonly number[];
}

/** Rate and preload of a spring from its pull. */
export interface SpringBody {
  readonly recordingId: number;
  readonly points: ApiSlowPoints;
  readonly answer: SpringAnswer;
}

/** Usable travel of a shock, its stops, and what spacers leave. */
export interface TravelBody {
  readonly recordingId: number;
  readonly points: ApiSlowPoints;
  readonly answer: TravelAnswer;
}

/** How a corner stands, swings and lands on one spring and on another. */
export interface CornerBody {
  readonly buildId: number;
  readonly recordingIds: readonly number[];
  readonly answer: CornerSpringsAnswer;
}

/** What the remounts of a build can see, and how many see what matters. */
export interface RemountsBody {
  readonly buildId: number;
  readonly recordingIds: readonly number[];
  readonly answer: MoreRemountsAnswer;
}
