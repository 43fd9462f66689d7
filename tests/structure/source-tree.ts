import { readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import ts from 'typescript';

/** How one module asks for another. A type import leaves no trace at run time; a lazy one is loaded when reached. */
export type ImportKind = 'static' | 'lazy' | 'type';

export interface Import {
  readonly specifier: string;
  readonly kind: ImportKind;
  /** Path of the module in the tree, null for packages, Node modules and files that are no modules (styles, pictures). */
  readonly target: string | null;
  readonly line: number;
}

export interface SourceModule {
  /** From the root, with forward slashes: `daq/clock/device-clock.ts`. */
  readonly path: string;
  readonly text: string;
  readonly imports: readonly Import[];
  readonly source: ts.SourceFile;
}

export const rooms = ['firmware-protocol', 'analysis', 'daq', 'dashboard'] as const;

const isModule = /\.(?:[cm]?[jt]s|tsx)$/;

/** Every file below `folder`, as paths from `root` with forward slashes; what tools make is left out. */
export function filesIn(root: string, folder = '.'): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = posix.join(folder, entry.name);
    if (!entry.isDirectory()) return entry.isFile() ? [path] : [];
    return ['node_modules', 'dist', 'artefacts', '.git'].includes(entry.name) ? [] : filesIn(root, path);
  });
}

/** The modules of all rooms, from disk. */
export function readSourceTree(root: string): SourceModule[] {
  const paths = rooms.flatMap((room) => filesIn(root, room)).filter((path) => isModule.test(path));
  return sourceTree(new Map(paths.map((path) => [path, readFileSync(join(root, path), 'utf8')])));
}

/** Modules from their texts, by path. */
export function sourceTree(texts: ReadonlyMap<string, string>): SourceModule[] {
  return [...texts].map(([path, text]) => {
    const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
    const imports = importsOf(source).map(({ node, ...found }) => ({
      ...found,
      target: resolve(path, found.specifier, texts),
      line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1,
    }));
    return { path, text, imports, source };
  });
}

interface FoundImport {
  readonly specifier: string;
  readonly kind: ImportKind;
  readonly node: ts.Node;
}

/** What a specifier reads as where it is no literal, so that no rule can let it pass unseen. */
export const UNREADABLE = '(computed)';

function importsOf(source: ts.SourceFile): FoundImport[] {
  const found: FoundImport[] = [];
  const add = (node: ts.Node, specifier: ts.Node | undefined, kind: ImportKind) => {
    const isLiteral = specifier !== undefined && ts.isStringLiteralLike(specifier);
    found.push({ node, kind, specifier: isLiteral ? specifier.text : UNREADABLE });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node))
      add(node, node.moduleSpecifier, node.importClause?.isTypeOnly ? 'type' : 'static');
    else if (ts.isExportDeclaration(node) && node.moduleSpecifier)
      add(node, node.moduleSpecifier, node.isTypeOnly ? 'type' : 'static');
    else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument))
      add(node, node.argument.literal, 'type');
    else if (ts.isExternalModuleReference(node)) add(node, node.expression, 'static');
    else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword)
      add(node, node.arguments[0], 'lazy');
    else if (ts.isCallExpression(node) && isRequire(node.expression)) add(node, node.arguments[0], 'static');
    else if (isOwnUrl(node)) add(node, node.arguments?.[0], 'lazy');
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

function isRequire(expression: ts.Expression): boolean {
  if (ts.isPropertyAccessExpression(expression))
    return (
      expression.name.text === 'resolve' && /^(?:require|import\.meta)$/.test(expression.expression.getText())
    );
  return ts.isIdentifier(expression) && expression.text === 'require';
}

/** `new URL('./worker.js', import.meta.url)`: how a worker or a file beside the module is named. */
function isOwnUrl(node: ts.Node): node is ts.NewExpression {
  return (
    ts.isNewExpression(node) &&
    node.expression.getText() === 'URL' &&
    node.arguments?.[1]?.getText() === 'import.meta.url'
  );
}

function resolve(from: string, specifier: string, texts: ReadonlyMap<string, string>): string | null {
  if (!specifier.startsWith('.')) return null;
  const path = posix.join(posix.dirname(from), specifier);
  const candidates = [path, path.replace(/\.js$/, '.ts'), path.replace(/\.js$/, '.tsx'), `${path}/index.ts`];
  return candidates.find((candidate) => texts.has(candidate)) ?? null;
}
