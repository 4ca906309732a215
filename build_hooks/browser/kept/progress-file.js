import { now } from "./keys.js";
import { faultIn } from "./schema-check.js";

/**
 * The record of learning as one file: docs/schemas/progress.schema.json says how it looks, and a file is checked against it whole before
 * anything is changed.
 */

export const FORMAT = "benchleaf-progress";
export const VERSION = 1;
const LARGEST = 50_000_000; // Characters: some hundred thousand records.

/** Which list of the file holds which kind of record. */
const LISTS = /** @type {const} */ ({
  people: "person",
  steps: "step",
  signed: "signed",
  attempts: "attempt",
  reviews: "review",
});

/**
 * @param {import("./kept.js").Kept} kept
 * @param {string} manual
 * @returns {Promise<string>} the file
 */
export async function progressText(kept, manual) {
  /** @type {Record<string, unknown>} */
  const lists = {};
  for (const [list, kind] of Object.entries(LISTS)) {
    const values = await kept.all(kind);
    lists[list] = values.sort((first, second) => (first.id < second.id ? -1 : 1));
  }
  return `${JSON.stringify({ format: FORMAT, version: VERSION, manual, written: now(), ...lists }, null, 1)}\n`;
}

/**
 * @param {string} text
 * @param {string} manual
 * @param {import("./schema-check.js").Schema} schema
 * @returns {{records: import("./kept.js").KeptRecord[]} | {refused: string}} the records, or why the file is not taken
 */
export function recordsOf(text, manual, schema) {
  if (text.length > LARGEST) return { refused: "This file is too large to be a record of learning." };
  /** @type {any} */
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { refused: "This file is damaged, or it is no saved record: it cannot be read to its end." };
  }
  if (typeof file !== "object" || file === null || file.format !== FORMAT) {
    return { refused: "This file is not a record of learning." };
  }
  if (Number.isInteger(file.version) && file.version > VERSION) {
    return {
      refused: `This file was saved by a newer edition of the manual (file version ${file.version}; this page reads ${VERSION}). Open it there.`,
    };
  }
  if (typeof file.manual === "string" && file.manual !== manual) {
    return { refused: `This file belongs to another manual: ${file.manual.slice(0, 80)}.` };
  }
  const wrong = faultIn(file, schema) ?? strangerIn(file);
  if (wrong) return { refused: `This file is damaged: ${wrong}.` };
  const records = Object.entries(LISTS).flatMap(([list, kind]) =>
    file[list].map((/** @type {any} */ value) => ({ kind, id: value.id, value })),
  );
  return { records };
}

/**
 * @param {any} file that fits the schema
 * @returns {string | null} a record of somebody who is not in the file
 */
function strangerIn(file) {
  const people = new Set(file.people.map((/** @type {{id: string}} */ person) => person.id));
  for (const list of ["steps", "signed", "attempts", "reviews"]) {
    const found = file[list].find((/** @type {{person: string}} */ value) => !people.has(value.person));
    if (found) return `a record in “${list}” belongs to nobody in it`;
  }
  return null;
}

/**
 * Offers a text as a file to be saved.
 *
 * @param {string} name
 * @param {string} text
 */
export function saveFile(name, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
