/*
 * Part of the build: reads from the types what every route of the server answers, and writes it as JSON Schemas to
 * dist/dashboard/server/openapi/answer-schemas.json. The types are the one description of the answers; their comments become
 * the descriptions.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { schemaWriter } from './schema-of-type.mjs';

const room = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const target = join(room, '..', 'dist', 'dashboard', 'server', 'openapi', 'answer-schemas.json');

const { config } = ts.readConfigFile(join(room, 'tsconfig.json'), ts.sys.readFile);
const { fileNames, options, projectReferences } = ts.parseJsonConfigFileContent(config, ts.sys, room);
const servers = fileNames.filter((name) => name.includes('/server/'));
const program = ts.createProgram({
  rootNames: servers,
  options,
  ...(projectReferences && { projectReferences }),
});
const checker = program.getTypeChecker();
const { schemaOf, schemas } = schemaWriter(checker);

/** @type {Record<string, object | null>} by `GET /api/…`; null where the answer is no JSON */
const routes = {};
main();

function main() {
  for (const name of servers) visit(/** @type {ts.SourceFile} */ (program.getSourceFile(name)));
  mkdirSync(dirname(target), { recursive: true });
  writeFileSync(target, `${JSON.stringify({ routes, schemas })}\n`);
}

/** @param {ts.Node} node */
function visit(node) {
  if (ts.isCallExpression(node)) {
    const [path, handler] = [node.arguments[0], node.arguments.at(-1)];
    const method = ts.isPropertyAccessExpression(node.expression) ? node.expression.name.text : '';
    if (
      /^(?:get|post|put|patch|delete)$/.test(method) &&
      path &&
      ts.isStringLiteralLike(path) &&
      path.text.startsWith('/api/') &&
      handler
    )
      routes[`${method.toUpperCase()} ${path.text}`] = answerOf(handler);
  }
  ts.forEachChild(node, visit);
}

/**
 * What a handler returns, or what it hands to `send`.
 * @param {ts.Expression} handler
 */
function answerOf(handler) {
  const [signature] = checker.getTypeAtLocation(handler).getCallSignatures();
  if (!signature) return null;
  const sent = sentBy(handler);
  const type = sent ?? awaited(checker.getReturnTypeOfSignature(signature));
  if (type.flags & (ts.TypeFlags.Void | ts.TypeFlags.Undefined) || isBytes(type)) return null;
  const schema = schemaOf(type);
  // What is left of a reply that was sent without a body, or as text.
  return Object.keys(schema).join() === 'type' && 'type' in schema && schema.type === 'object'
    ? null
    : schema;
}

/** A stream or a buffer. @param {ts.Type} type */
function isBytes(type) {
  return ['pipe', 'byteLength'].some((name) => checker.getPropertyOfType(type, name) !== undefined);
}

/** @param {ts.Type} type */
function isReply(type) {
  return /^FastifyReply\b/.test(checker.typeToString(type));
}

/** @param {ts.Type} type */
function awaited(type) {
  return checker.getAwaitedType(type) ?? type;
}

/** @param {ts.Node} node @returns {ts.Type | null} */
function sentBy(node) {
  if (
    ts.isCallExpression(node) &&
    ts.isPropertyAccessExpression(node.expression) &&
    node.expression.name.text === 'send' &&
    isReply(checker.getTypeAtLocation(node))
  )
    return node.arguments[0] ? awaited(checker.getTypeAtLocation(node.arguments[0])) : null;
  return ts.forEachChild(node, sentBy) ?? null;
}
