import ts from 'typescript';

/**
 * Makes JSON Schemas (2020-12) of types whose values go through JSON.
 * @param {ts.TypeChecker} checker
 */
export function schemaWriter(checker) {
  /** @type {Record<string, object>} named types, by name */
  const schemas = {};
  /** @type {Map<ts.Type, string>} */
  const names = new Map();

  /** @param {ts.Type} type @returns {object} */
  function schemaOf(type) {
    if (
      type.isUnion() &&
      type.types.some(isUndefined) &&
      type.types.filter((part) => !isUndefined(part)).length === 1
    )
      return schemaOf(/** @type {ts.Type} */ (type.types.find((part) => !isUndefined(part))));
    if (type.flags & (ts.TypeFlags.Any | ts.TypeFlags.Unknown)) return {};
    if (type.isStringLiteral() || type.isNumberLiteral()) return { const: type.value };
    if (type.flags & ts.TypeFlags.BooleanLiteral) return { const: checker.typeToString(type) === 'true' };
    if (type.flags & ts.TypeFlags.Null) return { type: 'null' };
    if (type.flags & ts.TypeFlags.Boolean) return { type: 'boolean' };
    if (isKind(type, ts.TypeFlags.StringLike)) return { type: 'string' };
    if (isKind(type, ts.TypeFlags.NumberLike)) return { type: 'number' };
    const name = nameOf(type);
    if (name === null) return written(type);
    if (!names.has(type)) {
      const free = name in schemas ? `${name}${names.size}` : name;
      names.set(type, free);
      // Held before it is written, since a type may contain itself.
      schemas[free] = {};
      schemas[free] = written(type);
    }
    return { $ref: `#/components/schemas/${names.get(type)}` };
  }

  /** A nominal id is a number with a brand that only the compiler sees. @param {ts.Type} type @param {ts.TypeFlags} kind */
  function isKind(type, kind) {
    return type.isIntersection() ? type.types.some((part) => part.flags & kind) : (type.flags & kind) !== 0;
  }

  /** @param {ts.Type} type */
  function written(type) {
    if (type.isUnion()) return unionOf(type.types);
    if (checker.isTupleType(type)) {
      const prefixItems = argumentsOf(type).map(schemaOf);
      return { type: 'array', prefixItems, items: false, minItems: prefixItems.length };
    }
    if (checker.isArrayType(type)) {
      const [item] = argumentsOf(type);
      return { type: 'array', items: item ? schemaOf(item) : {} };
    }
    return objectOf(type);
  }

  /** @param {ts.Type} type */
  const argumentsOf = (type) => checker.getTypeArguments(/** @type {ts.TypeReference} */ (type));

  /** @param {readonly ts.Type[]} types */
  function unionOf(types) {
    const there = types.filter(({ flags }) => !(flags & ts.TypeFlags.Undefined));
    const literals = there.flatMap((part) =>
      part.isStringLiteral() || part.isNumberLiteral() ? [part.value] : [],
    );
    const hasNull = there.some(({ flags }) => flags & ts.TypeFlags.Null);
    if (literals.length + (hasNull ? 1 : 0) === there.length && literals.length > 0)
      return { enum: hasNull ? [...literals, null] : literals };
    const isBoolean = there.filter(({ flags }) => flags & ts.TypeFlags.BooleanLiteral).length === 2;
    const parts = there
      .filter(({ flags }) => !(isBoolean && flags & ts.TypeFlags.BooleanLiteral))
      .map(schemaOf);
    if (isBoolean) parts.push({ type: 'boolean' });
    return parts.length === 1 ? /** @type {object} */ (parts[0]) : { anyOf: parts };
  }

  /** @param {ts.Type} type */
  function objectOf(type) {
    /** @type {Record<string, object>} */
    const properties = {};
    const required = [];
    for (const property of checker.getPropertiesOfType(type)) {
      const valued = checker.getTypeOfSymbol(property);
      if (valued.getCallSignatures().length > 0) continue;
      const isOptional =
        (property.flags & ts.SymbolFlags.Optional) !== 0 ||
        (valued.isUnion() && valued.types.some(({ flags }) => flags & ts.TypeFlags.Undefined));
      const description = ts.displayPartsToString(property.getDocumentationComment(checker));
      const schema = schemaOf(valued);
      properties[property.name] = { ...(description && { description }), ...schema };
      if (!isOptional) required.push(property.name);
    }
    const others = checker.getIndexTypeOfType(type, ts.IndexKind.String);
    const description = ts.displayPartsToString(type.getSymbol()?.getDocumentationComment(checker) ?? []);
    return {
      ...(description && { description }),
      type: 'object',
      ...(Object.keys(properties).length > 0 && { properties }),
      ...(required.length > 0 && { required }),
      ...(others && { additionalProperties: schemaOf(others) }),
    };
  }

  return { schemaOf, schemas };
}

/** @param {ts.Type} type */
const isUndefined = ({ flags }) => (flags & ts.TypeFlags.Undefined) !== 0;

/** The name of a type that stands alone: an interface or an alias, without arguments. @param {ts.Type} type */
function nameOf(type) {
  const { aliasSymbol, aliasTypeArguments } = type;
  if (aliasSymbol) return aliasTypeArguments?.length ? null : aliasSymbol.name;
  const symbol = type.getSymbol();
  const isInterface = symbol && symbol.flags & ts.SymbolFlags.Interface;
  const isGeneric = /** @type {ts.TypeReference} */ (type).typeArguments?.length;
  return isInterface && !isGeneric ? symbol.name : null;
}
