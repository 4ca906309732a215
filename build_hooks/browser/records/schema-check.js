/**
 * Checks plain data against a published JSON Schema (draft 2020-12), as far as our own schemas go: type, const, enum, pattern, lengths,
 * bounds, properties, items, $ref within the schema. A keyword that is none of these is refused, so that no check is silently left out.
 */

/** @typedef {Record<string, any>} Schema */

const KNOWN = new Set([
  "$schema", "$defs", "$ref", "title", "description", "examples", "default",
  "type", "const", "enum", "pattern", "format", "minLength", "maxLength", "minimum", "maximum",
  "properties", "required", "additionalProperties", "items",
]); // prettier-ignore

/**
 * The first thing wrong.
 *
 * @param {unknown} value
 * @param {Schema} schema
 * @param {Schema} [root]
 * @param {string} [at] where the value is, for the message
 * @returns {string | null} in words; null when all is well
 */
export function faultIn(value, schema, root = schema, at = "the file") {
  const strange = Object.keys(schema).find((key) => !KNOWN.has(key));
  if (strange) throw new Error(`the schema says “${strange}”, and nothing here checks that`);
  if (schema.$ref) return faultIn(value, root.$defs[schema.$ref.replace("#/$defs/", "")], root, at);
  if ("const" in schema && value !== schema.const) return `${at} is not ${JSON.stringify(schema.const)}`;
  if (schema.enum && !schema.enum.includes(value)) return `${at} is none of ${schema.enum.join(", ")}`;
  if (schema.type && !isOf(value, schema.type)) return `${at} is not of the type ${[schema.type].flat().join(" or ")}`;
  if (typeof value === "string") return faultInText(value, schema, at);
  if (typeof value === "number") return faultInNumber(value, schema, at);
  if (Array.isArray(value)) return faultInList(value, schema, root, at);
  if (typeof value === "object" && value !== null) return faultInObject(value, schema, root, at);
  return null;
}

/**
 * @param {unknown} value
 * @param {string | string[]} types
 */
function isOf(value, types) {
  return [types].flat().some((type) => {
    if (type === "object") return typeof value === "object" && value !== null && !Array.isArray(value);
    if (type === "array") return Array.isArray(value);
    return type === "integer" ? Number.isInteger(value) : typeof value === type;
  });
}

/**
 * @param {string} value
 * @param {Schema} schema
 * @param {string} at
 */
function faultInText(value, schema, at) {
  const length = Array.from(value).length;
  if (length < (schema.minLength ?? 0)) return `${at} is empty`;
  if (length > (schema.maxLength ?? Infinity)) return `${at} is too long`;
  if (schema.pattern && !new RegExp(schema.pattern, "u").test(value)) return `${at} has the wrong form`;
  if (schema.format === "date" && !isDay(value)) return `${at} is not a day`;
  return null;
}

/** @param {string} value */
function isDay(value) {
  if (!/^[0-9]{4}-[0-9]{2}-[0-9]{2}$/.test(value)) return false;
  const day = new Date(`${value}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().startsWith(value);
}

/**
 * @param {number} value
 * @param {Schema} schema
 * @param {string} at
 */
function faultInNumber(value, schema, at) {
  return value < (schema.minimum ?? -Infinity) || value > (schema.maximum ?? Infinity) ? `${at} is out of range` : null;
}

/**
 * @param {unknown[]} value
 * @param {Schema} schema
 * @param {Schema} root
 * @param {string} at
 */
function faultInList(value, schema, root, at) {
  for (const [index, item] of value.entries()) {
    const found = faultIn(item, schema.items ?? {}, root, `${at}, item ${index + 1}`);
    if (found) return found;
  }
  return null;
}

/**
 * @param {object} value
 * @param {Schema} schema
 * @param {Schema} root
 * @param {string} at
 */
function faultInObject(value, schema, root, at) {
  const properties = schema.properties ?? {};
  for (const key of schema.required ?? []) if (!Object.hasOwn(value, key)) return `${at} has no “${key}”`;
  for (const [key, item] of Object.entries(value)) {
    if (!Object.hasOwn(properties, key)) {
      if (schema.additionalProperties === false) return `${at} has a “${key.slice(0, 40)}” that does not belong there`;
      continue;
    }
    const found = faultIn(item, properties[key], root, `“${key}” of ${at}`);
    if (found) return found;
  }
  return null;
}
