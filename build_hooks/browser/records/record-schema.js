import { faultIn } from "./schema-check.js";
import SCHEMA from "./progress.schema.json";

/** The shape of a record of learning: written by the build from the same declaration as docs/schemas/progress.schema.json. */
export { SCHEMA };

/** @type {Record<string, import("./schema-check.js").Schema>} by the kind of a stored record */
const OF_KIND = Object.fromEntries(
  Object.entries({ person: "people", step: "steps", signed: "signed", attempt: "attempts", review: "reviews" }).map(([kind, list]) => [
    kind,
    /** @type {any} */ (SCHEMA.properties)[list].items,
  ]),
);

/**
 * What is wrong with a stored record.
 *
 * @param {string} kind
 * @param {unknown} value
 * @returns {string | null} in words; null when it is sound, or of a kind that is not checked here
 */
export function faultOfRecord(kind, value) {
  const schema = OF_KIND[kind];
  return schema ? faultIn(value, schema, SCHEMA, `a record of the kind “${kind}”`) : null;
}
