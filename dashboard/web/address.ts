import { signal } from '@preact/signals';
import { type Typed, typedIn, typedParts } from './next/typed-names.js';
import { type View, viewIn, viewParts } from './together/view.js';
import { type UnitChoice, unitChoices } from './unit-choices.js';

/** The places that exist so far, in the order of the work. */
export const places = ['bench', 'builds', 'together', 'next', 'care'] as const;
export type Place = (typeof places)[number];

/** What the place "Builds" shows. */
export const sections = ['lineage', 'shelf', 'import', 'bin'] as const;
export type Section = (typeof sections)[number];

/** What can be asked at the place "Next step". */
export const questions = ['match', 'oil', 'drill', 'spring', 'corner', 'travel', 'remounts'] as const;
export type Question = (typeof questions)[number];

/** What can be asked at the place "Rig care", and the parts of a calibration there. */
export const careQuestions = ['check', 'calibrate', 'history', 'profile'] as const;
export type CareQuestion = (typeof careQuestions)[number];
export const calibratedParts = ['force', 'position', 'angle', 'lag', 'mass'] as const;
export type CalibratedPart = (typeof calibratedParts)[number];

/** Everything that a bookmark should bring back. */
export interface Address {
  readonly place: Place;
  /** Chosen builds, the reference first. */
  readonly builds: readonly number[];
  /** Recordings of chosen builds that are left out. */
  readonly without: readonly number[];
  /** Speed at which the curves are read, mm/s, compression positive; null for the page's own choice. */
  readonly readAt_mm_per_s: number | null;
  readonly view: View;
  /** Units that numbers are shown in; null for what this browser was last told. */
  readonly units: UnitChoice | null;
  readonly section: Section;
  readonly question: Question;
  /** The build that a question is about, and the one it is held against; null for the page's own choice. */
  readonly have: number | null;
  readonly target: number | null;
  /** Fields of questions, as typed. */
  readonly typed: Typed;
  readonly about: CareQuestion;
  readonly part: CalibratedPart;
  /** The rig that is looked after; null for the one used last. */
  readonly rig: number | null;
}

export const address = signal<Address>(parseAddress(location));

addEventListener('popstate', () => {
  address.value = keepEqual(parseAddress(location), address.value);
});

/** Parts that are as they were stay the same objects, so that nothing is computed or drawn anew for them. */
function keepEqual(now: Address, before: Address): Address {
  const parts = Object.entries(now).map(([name, part]) => {
    const old = before[name as keyof Address];
    return [name, JSON.stringify(part) === JSON.stringify(old) ? old : part];
  });
  return Object.fromEntries(parts) as Address;
}

/** Reads path and query; what is not understood is left out. */
export function parseAddress({ pathname, search }: Pick<Location, 'pathname' | 'search'>): Address {
  const query = new URLSearchParams(search);
  const place = places.find((name) => pathname === `/${name}`) ?? 'together';
  const readAt = query.get('at');
  return {
    place,
    builds: idsIn(query.get('builds')),
    without: idsIn(query.get('without')),
    readAt_mm_per_s: readAt !== null && Number.isFinite(Number(readAt)) ? Number(readAt) : null,
    view: viewIn(query),
    units: unitChoices.find((choice) => choice === query.get('units')) ?? null,
    section: sections.find((name) => name === query.get('show')) ?? sections[0],
    question: questions.find((name) => name === query.get('ask')) ?? questions[0],
    have: idsIn(query.get('have'))[0] ?? null,
    target: idsIn(query.get('target'))[0] ?? null,
    typed: place === 'next' ? typedIn(query) : {},
    about: careQuestions.find((name) => name === query.get('about')) ?? careQuestions[0],
    part: calibratedParts.find((name) => name === query.get('part')) ?? calibratedParts[0],
    rig: idsIn(query.get('rig'))[0] ?? null,
  };
}

/** Writes an address as a link of this site. */
export function linkTo(target: Address): string {
  const parts: string[] = [];
  if (target.builds.length > 0) parts.push(`builds=${target.builds.join(',')}`);
  if (target.without.length > 0) parts.push(`without=${target.without.join(',')}`);
  if (target.readAt_mm_per_s !== null) parts.push(`at=${target.readAt_mm_per_s}`);
  if (target.place === 'together') parts.push(...viewParts(target.view));
  if (target.units !== null) parts.push(`units=${target.units}`);
  if (target.place === 'builds' && target.section !== sections[0]) parts.push(`show=${target.section}`);
  if (target.place === 'next') {
    if (target.question !== questions[0]) parts.push(`ask=${target.question}`);
    if (target.have !== null) parts.push(`have=${target.have}`);
    if (target.target !== null) parts.push(`target=${target.target}`);
    parts.push(...typedParts(target.typed));
  }
  if (target.place === 'care') {
    if (target.about !== careQuestions[0]) parts.push(`about=${target.about}`);
    if (target.about === 'calibrate' && target.part !== calibratedParts[0]) parts.push(`part=${target.part}`);
    if (target.rig !== null) parts.push(`rig=${target.rig}`);
  }
  return `/${target.place}${parts.length > 0 ? `?${parts.join('&')}` : ''}`;
}

/** Goes to another place or selection; `replace` for changes that are not worth a step back. */
export function go(change: Partial<Address>, how: 'push' | 'replace' = 'push'): void {
  const asked = { ...address.value, ...change };
  // The sheet is left by going elsewhere.
  const target = asked.place === 'together' ? asked : { ...asked, view: { ...asked.view, isReport: false } };
  const link = linkTo(target);
  if (how === 'push') {
    history.pushState(null, '', link);
    if (change.place !== undefined && change.place !== address.value.place) scrollTo(0, 0);
  } else history.replaceState(null, '', link);
  address.value = target;
}

/** Looks at the chosen builds another way. */
export const look = (change: Partial<View>, how: 'push' | 'replace' = 'replace'): void =>
  go({ view: { ...address.value.view, ...change } }, how);

function idsIn(text: string | null): number[] {
  const ids = (text ?? '').split(',').map(Number);
  return [...new Set(ids.filter((id) => Number.isInteger(id) && id > 0))];
}
