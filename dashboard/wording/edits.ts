import { count } from './numbers.js';

/** An edit of the logbook, with the names that its things have. */
export interface NamedEdit {
  readonly action: string;
  /** What it was about: "build", "photo", "oil". */
  readonly thing: string;
  /** Its name now. */
  readonly name: string;
  /** The build that a recording or photo belongs to; empty otherwise. */
  readonly ofBuild: string;
  /** How many things at once. */
  readonly number: number;
  /** Names before and after, where it was renamed. */
  readonly renamed: { readonly from: string; readonly to: string } | null;
}

/** What was done, for the buttons that take it back or do it again. */
export function editWords(edit: NamedEdit): string {
  const { action, renamed } = edit;
  const what = thingWords(edit);
  switch (action) {
    case 'create':
      return `new ${what}`;
    case 'import':
      return `import of ${count(edit.number, 'recording')} into '${edit.ofBuild}'`;
    case 'bin':
      return `${what} to the bin`;
    case 'restore':
      return `${what} out of the bin`;
    default:
      return renamed ? `${edit.thing} '${renamed.from}' renamed '${renamed.to}'` : `what is said of ${what}`;
  }
}

/** A thing by kind and name: "build 'red seal'", "remount 2 of 'red seal'", "photo of 'red seal'". */
export function thingWords({ thing, name, ofBuild }: Pick<NamedEdit, 'thing' | 'name' | 'ofBuild'>): string {
  if (thing === 'recording') return `${name} of '${ofBuild}'`;
  if (thing === 'photo') return `photo ${name ? `'${name}' ` : ''}of '${ofBuild}'`;
  return `${thing} '${name}'`;
}
