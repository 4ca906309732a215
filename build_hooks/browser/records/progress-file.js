import { now, today } from "./keys.js";
import { SCHEMA } from "./record-schema.js";
import { openedFile } from "./saved-file.js";
import { faultIn } from "./schema-check.js";

/**
 * The record of learning as one file: docs/schemas/progress.schema.json says how it looks, and a file is checked against it whole before
 * anything is changed.
 */

export const FORMAT = "benchleaf-progress";
export const VERSION = 1;
const KIND = {
  format: FORMAT,
  version: VERSION,
  largest: 50_000_000, // Characters: some hundred thousand records.
  words: {
    large: "This file is too large to be a record of learning.",
    damaged: "This file is damaged or is not a saved record.",
    other: "This file is not a record of learning.",
  },
};

/** Which list of the file holds which kind of record. */
const LISTS = /** @type {const} */ ({
  people: "person",
  steps: "step",
  signed: "signed",
  attempts: "attempt",
  reviews: "review",
});

/**
 * @param {import("./record-database.js").RecordDatabase} database
 * @param {string} manual
 * @returns {Promise<string>} the file
 */
export async function progressText(database, manual) {
  /** @type {Record<string, unknown>} */
  const lists = {};
  for (const [list, kind] of Object.entries(LISTS)) {
    const values = await database.all(kind);
    lists[list] = values.sort((first, second) => (first.id < second.id ? -1 : 1));
  }
  return `${JSON.stringify({ format: FORMAT, version: VERSION, manual, written: now(), ...lists }, null, 1)}\n`;
}

/**
 * @param {string} text
 * @param {string} manual
 * @param {{id: string, name: string}[]} [here] the people whom this machine knows
 * @returns {{records: import("./record-database.js").StoredRecord[]} | {refused: string}} the records, or why the file is not taken
 */
export function recordsOf(text, manual, here = []) {
  const opened = openedFile(text, manual, KIND);
  if ("refused" in opened) return opened;
  const { file } = opened;
  const wrong = faultIn(file, SCHEMA) ?? strangerIn(file);
  if (wrong) return { refused: `This file is damaged: ${wrong}.` };
  const impossible = aheadIn(file) ?? ownSignatureIn(file) ?? sameNameIn(file, here);
  if (impossible) return { refused: impossible };
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
    if (found) return `a record in “${list}” belongs to somebody who is not in the file`;
  }
  return null;
}

/**
 * @param {any} file
 * @returns {string | null} a record that was written, or done, on a day that has not come
 */
function aheadIn(file) {
  // A day more: clocks of other machines, and of other time zones, may be ahead.
  const last = new Date(Date.now() + 86_400_000).toISOString();
  for (const list of Object.keys(LISTS)) {
    for (const value of file[list]) {
      const late = value.at > last ? value.at : value.on > last.slice(0, 10) ? value.on : null;
      if (late) return `A record in “${list}” is dated ${late}, in the future: today is ${today()}. Set the clock of the machine that is wrong, or correct the file.`;
    }
  }
  return null;
}

/**
 * @param {any} file
 * @returns {string | null} a task that somebody has signed for themselves
 */
function ownSignatureIn(file) {
  const names = new Map(file.people.map((/** @type {{id: string, name: string}} */ person) => [person.id, plain(person.name)]));
  const own = file.signed.find((/** @type {any} */ value) => names.get(value.person) === plain(value.senior));
  return own ? `The task “${own.step}” is signed by ${own.senior}, who did it. Nobody signs their own task.` : null;
}

/**
 * @param {any} file
 * @param {{id: string, name: string}[]} here
 * @returns {string | null} two people with the same name, whose records could not be told apart
 */
function sameNameIn(file, here) {
  const ids = new Map(here.map(({ id, name }) => [plain(name), id]));
  for (const person of file.people) {
    if (person.removed) continue;
    const other = ids.get(plain(person.name));
    if (other !== undefined && other !== person.id) {
      return `There are two people called ${person.name}, in this file or on this machine. Take one of them off the list, or write one name in full, and save the file again.`;
    }
    ids.set(plain(person.name), person.id);
  }
  return null;
}

/** @param {string} name */
function plain(name) {
  return name.trim().replace(/\s+/g, " ").toLowerCase();
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
