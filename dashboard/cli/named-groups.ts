import { basename } from 'node:path';
import { badInput } from './failure.js';
import { parseArgument } from './source.js';

/** Files that belong together, under the name that sentences use. */
export interface NamedGroup {
  readonly name: string;
  readonly files: readonly string[];
}

/**
 * Reads a repeated option with a name and its files, such as `--build NAME FILE... --build NAME FILE...`.
 * @param argv the command's arguments as typed, since a parser keeps the values but not where each repetition began
 * @returns a group a repetition; `build:NAME` alone is its own name and file
 * @throws CommandFailure for a name without files, or one that stands twice
 */
export function namedGroups(argv: readonly string[], option: string): NamedGroup[] {
  const groups: string[][] = [];
  let open: string[] | null = null;
  for (const text of argv) {
    if (text === option || text.startsWith(`${option}=`)) {
      open = text === option ? [] : [text.slice(option.length + 1)];
      groups.push(open);
    } else if (text.startsWith('-') && text !== '-') open = null;
    else open?.push(text);
  }
  const named = groups.map(([first = '', ...files]): NamedGroup => {
    if (files.length > 0) return { name: first, files };
    const argument = parseArgument(first);
    if (argument.kind === 'file')
      throw badInput(`${option} ${first}`, `a name and at least one file: ${option} NAME FILE...`);
    return { name: nameOfFile(first), files: [first] };
  });
  const twice = named.find(({ name }, i) => named.findIndex((other) => other.name === name) < i);
  if (twice) throw badInput(`${option} ${twice.name} twice`, 'a name of its own for each');
  return named;
}

/** What a FILE argument is called in sentences: a build's own name, a file's without its ending. */
export function nameOfFile(text: string): string {
  const argument = parseArgument(text);
  if (argument.kind === 'build') return argument.name;
  return argument.kind === 'recording' ? text : basename(argument.path, '.csv');
}
