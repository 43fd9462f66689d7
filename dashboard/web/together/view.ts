import { type OverlayKind, overlayKinds } from '../../answers/index.js';

export const sides = ['both', 'compression', 'rebound'] as const;
export type Side = (typeof sides)[number];

/** How the chosen builds are looked at; all of it is in the address. */
export interface View {
  readonly kind: OverlayKind;
  readonly side: Side;
  /** Speeds that are drawn; null for all that were measured. */
  readonly slowest_mm_per_s: number | null;
  readonly fastest_mm_per_s: number | null;
  /** Oil temperature that damping is brought to; null for the page's own choice. */
  readonly at_degC: number | null;
  /** Builds that are chosen and not drawn. */
  readonly hidden: readonly number[];
  /** Where damping is read; empty for the page's own choice. */
  readonly readSpeeds_mm_per_s: readonly number[];
  /** Peak speeds of the stroke cycles that are drawn; empty for the fastest. */
  readonly loops_mm_per_s: readonly number[];
  /** The comparison as a sheet to print or to send. */
  readonly isReport: boolean;
}

/** Reads a query; what is not understood is left out. */
export function viewIn(query: URLSearchParams): View {
  return {
    kind: overlayKinds.find((kind) => kind === query.get('show')) ?? 'total',
    side: sides.find((side) => side === query.get('side')) ?? 'both',
    slowest_mm_per_s: numbersIn(query.get('from'))[0] ?? null,
    fastest_mm_per_s: numbersIn(query.get('to'))[0] ?? null,
    at_degC: numbersIn(query.get('deg'), -50)[0] ?? null,
    hidden: numbersIn(query.get('hide'), 1),
    readSpeeds_mm_per_s: numbersIn(query.get('speeds'), 1),
    loops_mm_per_s: numbersIn(query.get('loops'), 1),
    isReport: query.has('report'),
  };
}

/** The parts of a query that bring a view back; none for the page's own choice. */
export function viewParts(view: View): string[] {
  const parts: string[] = [];
  if (view.kind !== 'total') parts.push(`show=${view.kind}`);
  if (view.side !== 'both') parts.push(`side=${view.side}`);
  if (view.slowest_mm_per_s !== null) parts.push(`from=${view.slowest_mm_per_s}`);
  if (view.fastest_mm_per_s !== null) parts.push(`to=${view.fastest_mm_per_s}`);
  if (view.at_degC !== null) parts.push(`deg=${view.at_degC}`);
  if (view.hidden.length > 0) parts.push(`hide=${view.hidden.join(',')}`);
  if (view.readSpeeds_mm_per_s.length > 0) parts.push(`speeds=${view.readSpeeds_mm_per_s.join(',')}`);
  if (view.loops_mm_per_s.length > 0) parts.push(`loops=${view.loops_mm_per_s.join(',')}`);
  if (view.isReport) parts.push('report');
  return parts;
}

/** Whether a signed velocity is among those that are drawn. */
export function isInView(velocity_m_per_s: number, view: View): boolean {
  const speed_mm_per_s = Math.abs(velocity_m_per_s) * 1000;
  return (
    (view.side === 'both' || (view.side === 'compression') === velocity_m_per_s > 0) &&
    speed_mm_per_s >= (view.slowest_mm_per_s ?? 0) &&
    speed_mm_per_s <= (view.fastest_mm_per_s ?? Number.POSITIVE_INFINITY)
  );
}

const ofPoints = ['kind', 'side', 'slowest_mm_per_s', 'fastest_mm_per_s', 'at_degC'] as const;

/** Whether the same measured points are drawn at the same places. */
export const haveSamePoints = (a: View, b: View): boolean => ofPoints.every((part) => a[part] === b[part]);

function numbersIn(text: string | null, least = 0): number[] {
  const words = (text ?? '').split(',').filter((word) => word.trim() !== '');
  return [...new Set(words.map(Number))].filter((value) => Number.isFinite(value) && value >= least);
}
