import ts from 'typescript';
import type { SourceModule } from './source-tree.js';

export const topLevelFolders = ['firmware-protocol', 'daq', 'analysis', 'dashboard', 'tests', 'sample-data'];

const MOST_LINES = 400;
const MANY_LINES = 300;

export interface TextFile {
  readonly path: string;
  readonly text: string;
}

/** Files too long to have one job. */
export function tooLong(files: readonly TextFile[]): string[] {
  return longerThan(files, MOST_LINES);
}

/** Files to look at again. */
export function worthALook(files: readonly TextFile[]): string[] {
  return longerThan(files, MANY_LINES);
}

function longerThan(files: readonly TextFile[], limit: number): string[] {
  return files.flatMap(({ path, text }) => {
    const lines = text.replace(/\n$/, '').split('\n').length;
    return lines > limit ? [`${path}: ${lines} lines, more than ${limit}`] : [];
  });
}

/** Files and folders whose last word says nothing about what is inside. */
export function drawerNames(paths: readonly string[]): string[] {
  return paths.filter((path) => /(?:^|[/-])(?:utils?|helpers?|common|misc|managers?)(?:[/.]|$)/i.test(path));
}

/** Paths of somebody's machine. */
export function machinePaths(files: readonly TextFile[]): string[] {
  return linesWith(files, /(?:^|[\s'"`(=:])\/(?:work|root)\/|(?:\.\.\/)+shared\b/);
}

function linesWith(files: readonly TextFile[], pattern: RegExp): string[] {
  return files.flatMap(({ path, text }) =>
    text.split('\n').flatMap((line, i) => (pattern.test(line) ? [`${path}:${i + 1}: ${line.trim()}`] : [])),
  );
}

const ownAddress = /^https?:\/\/(?:127\.0\.0\.1|localhost|\[::1\]|www\.w3\.org\/|$)/;

/** Texts in a module that name an address elsewhere. Comments may: they are where facts carry their source. */
export function outsideAddresses(modules: readonly SourceModule[]): string[] {
  return modules.flatMap((module) =>
    textsIn(module.source)
      .flatMap((text) => text.match(/https?:\/\/[^\s'"`]*/g) ?? [])
      .filter((address) => !ownAddress.test(address))
      .map((address) => `${module.path}: ${address}`),
  );
}

/** Styles and pages that load something from elsewhere. */
export function outsideAddressesInPages(files: readonly TextFile[]): string[] {
  return linesWith(
    files,
    /(?:src|href)\s*=\s*["']?(?:https?:)?\/\/|url\(\s*["']?(?:https?:)?\/\/|@import\s+["'](?:https?:)?\/\//i,
  );
}

function textsIn(source: ts.SourceFile): string[] {
  const texts: string[] = [];
  const visit = (node: ts.Node): void => {
    if (
      ts.isStringLiteralLike(node) ||
      ts.isTemplateHead(node) ||
      ts.isTemplateMiddleOrTemplateTail(node) ||
      ts.isJsxText(node)
    )
      texts.push(node.text);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return texts;
}

/** What no pure function may read, by the text of the expression. */
const impure = /^(?:Math\.random|Date|performance|process|globalThis|fetch|setTimeout|setInterval|crypto)$/;

/** Places where a module reads a clock, a random source or its surroundings. */
export function impureReads(modules: readonly SourceModule[]): string[] {
  return modules.flatMap(({ path, source }) => {
    const found: string[] = [];
    const visit = (node: ts.Node): void => {
      const isName = ts.isIdentifier(node) && isFree(node);
      if ((isName || ts.isPropertyAccessExpression(node)) && impure.test(node.getText()))
        found.push(
          `${path}:${source.getLineAndCharacterOfPosition(node.getStart()).line + 1}: ${node.getText()}`,
        );
      ts.forEachChild(node, visit);
    };
    visit(source);
    return found;
  });
}

/** Whether an identifier stands for itself, not for a property, a key or a type of that name. */
function isFree(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent)) return parent.expression === node;
  return (
    !ts.isPropertyAssignment(parent) && !ts.isPropertySignature(parent) && !ts.isTypeReferenceNode(parent)
  );
}
