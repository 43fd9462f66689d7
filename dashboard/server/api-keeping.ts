/** What travels between the server and the page about keeping the logbook: parts, photos, shelf, bin, history, imports. */
import type {
  BinnedKind,
  CsvGuess,
  CsvReading,
  FittedPart,
  ShelfItem,
  ShelfKind,
  TraceQuantity,
} from '../../daq/index.js';
import type { ApiError } from './api-error.js';

export interface ApiPhoto {
  readonly id: number;
  readonly caption: string;
  readonly width_px: number;
  readonly height_px: number;
}

/** Property fields of parts as a person typed them; an empty one says nothing. */
export type TypedParts = Readonly<Record<string, string>>;

export interface NewBuildBody {
  /** Of a first build: the label of its shock. */
  readonly shock: string;
  readonly parentId: number | null;
  readonly name: string;
  readonly change: string;
  readonly note: string;
  /** What is not as in the parent. */
  readonly parts: TypedParts;
}

/** What is left out stays as it is. */
export interface BuildEditBody {
  readonly name?: string;
  readonly change?: string;
  readonly note?: string;
  /** All of the build's own parts; one that is missing is inherited again. */
  readonly parts?: TypedParts;
}

export interface MadeBody {
  readonly id: number;
}

export interface ApiEdit {
  readonly id: number;
  /** What was done, in words without a capital. */
  readonly words: string;
  readonly happenedAt: string;
}

export interface ApiBinItem {
  readonly kind: BinnedKind;
  readonly item: string;
  /** In words without a capital. */
  readonly words: string;
  readonly reason: string;
  readonly binnedAt: string;
}

/** What can be undone, done again, and taken out of the bin. */
export interface KeepingBody {
  readonly undo: ApiEdit | null;
  readonly redo: ApiEdit | null;
  readonly bin: readonly ApiBinItem[];
  readonly shelf: readonly ShelfItem[];
}

/** Something for the shelf, described as in a shelf file; the server holds it to that. */
export interface ShelfItemBody {
  readonly kind: ShelfKind;
  readonly part: Readonly<Record<string, unknown>> & { readonly name: string };
}

export type { CsvReading, FittedPart, TraceQuantity };

/** A file's beginning under one way of reading it, with what speaks for the guess. */
export interface ImportPreviewBody extends CsvGuess {
  /** Units that each quantity can be in. */
  readonly units: Readonly<Record<TraceQuantity, readonly string[]>>;
  /** What it comes to, read this way; null where it cannot be. */
  readonly seen: ApiSeen | null;
  readonly refusal: ApiError | null;
}

/** Ranges in the part that was read, by which a wrong unit is noticed. */
export interface ApiSeen {
  readonly rows: number;
  /** Null for a single row. */
  readonly rate_Hz: number | null;
  readonly position_mm: readonly [low: number, high: number];
  readonly force_N: readonly [low: number, high: number];
  readonly temperature_degC: readonly [low: number, high: number] | null;
}

export interface ImportedBody {
  readonly recordingId: number;
  readonly remount: number;
  readonly rows: number;
}
