/**
 * What an entry holds of a request, a result or what was shown. A file may say anything there: what is not of the kind that is looked for
 * counts as nothing, so that one odd entry hides no other.
 */

/** @param {unknown} value */
export function wordsOf(value) {
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}

/**
 * @param {unknown} value
 * @returns {any[]}
 */
export function listOf(value) {
  return Array.isArray(value) ? value : [];
}

/**
 * @param {unknown} value
 * @returns {Record<string, any>}
 */
export function fieldsOf(value) {
  return typeof value === "object" && value !== null ? value : {};
}
