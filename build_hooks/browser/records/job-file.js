import { inOrder, jobOf } from "./job-entries.js";
import { now, today } from "./keys.js";
import { openedFile } from "./saved-file.js";
import { faultIn } from "./schema-check.js";
import SCHEMA from "./jobs.schema.json";

/**
 * Jobs as one file: docs/schemas/jobs.schema.json says how it looks, and a file is checked against it whole before anything is changed.
 *
 * @typedef {import("./job-entries.js").Listed} Listed
 */

export const FORMAT = "benchleaf-jobs";
export const VERSION = 1;
export const LARGEST = 100_000_000; // Characters: some hundred pictures, or some hundred thousand entries.
const KIND = {
  format: FORMAT,
  version: VERSION,
  largest: LARGEST,
  words: {
    large: "This file is too large to be one of saved jobs.",
    damaged: "This file is damaged or is not a file of saved jobs.",
    other: "This is not a file of saved jobs.",
  },
};
const DEEPEST = 64; // Levels; an answer drawn as data has half as many. Deeper ones end the stack of what saves them.
const PROPERTIES = /** @type {Record<string, any>} */ (SCHEMA.properties);
/** Names of the lists of the file. */
export const LISTS = Object.keys(PROPERTIES).filter((name) => PROPERTIES[name].type === "array");

/**
 * What is wrong with a stored entry.
 *
 * @param {string} kind
 * @param {unknown} value
 * @returns {string | null} in words; null when it is sound
 */
export function faultOfStoredJob(kind, value) {
  const { list, entry, id } = /** @type {any} */ (value);
  if (kind !== "entry") return null; // What is worked out from entries is made anew where it is damaged.
  if (!LISTS.includes(list)) return "it is of no kind that this page knows";
  return faultIn(entry, PROPERTIES[list].items, SCHEMA, `an entry of “${list}”`) ?? (entry.id === id ? null : "its key is not its own");
}

/**
 * Each entry is a line: two files of a job can be compared by any program, and a line is shorter than an entry spread over many.
 *
 * @param {Listed[]} entries
 * @param {string} manual
 * @returns {string} the file
 */
export function jobText(entries, manual) {
  const head = Object.entries({ format: FORMAT, version: VERSION, manual, written: now() }).map(([name, value]) => `"${name}":${JSON.stringify(value)}`);
  const lists = LISTS.map((name) => `"${name}":[${inOrder(entries.filter(({ list }) => list === name)).map(lineOf).join(",")}\n]`);
  return `{${[...head, ...lists].join(",\n")}}\n`;
}

/** @param {Listed} entry */
function lineOf({ value }) {
  return `\n${JSON.stringify(value)}`;
}

/** @param {string} number of the job */
export function jobFileName(number) {
  return `${`job-${number}`.replace(/[^A-Za-z0-9-]+/g, "-").slice(0, 60)}.json`;
}

/**
 * @param {string} text
 * @param {string} manual
 * @returns {{entries: Listed[]} | {refused: string}} the entries, or why the file is not taken
 */
export function entriesIn(text, manual) {
  const opened = openedFile(text, manual, KIND);
  if ("refused" in opened) return opened;
  const { file } = opened;
  const wrong = isDeeper(file, DEEPEST) ? `it is nested more than ${DEEPEST} levels deep` : faultIn(file, SCHEMA);
  if (wrong) return { refused: `This file is damaged: ${wrong}.` };
  const entries = LISTS.flatMap((list) => file[list].map((/** @type {any} */ value) => ({ list, value })));
  const impossible = aheadIn(entries) ?? twiceIn(entries) ?? strangerIn(entries);
  return impossible ? { refused: impossible } : { entries };
}

/**
 * @param {unknown} value
 * @param {number} levels
 */
function isDeeper(value, levels) {
  let layer = [value];
  for (let level = 0; level < levels && layer.length > 0; level++) {
    layer = layer.flatMap((one) => (typeof one === "object" && one !== null ? Object.values(one) : []));
  }
  return layer.length > 0;
}

/** @param {Listed[]} entries */
function aheadIn(entries) {
  // A day more: clocks of other machines, and of other time zones, may be ahead.
  const last = Date.now() + 86_400_000;
  const late = entries.find(({ value }) => Date.parse(value.at) > last);
  return late
    ? `An entry in “${late.list}” is dated ${late.value.at}, in the future: today is ${today()}. Set the clock of the machine that is wrong, or correct the file.`
    : null;
}

/** @param {Listed[]} entries */
function twiceIn(entries) {
  const ids = new Set();
  const twice = entries.find(({ value }) => ids.size === ids.add(value.id).size);
  return twice ? `This file is damaged: two entries have the key ${twice.value.id}.` : null;
}

/**
 * @param {Listed[]} entries
 * @returns {string | null} an entry that speaks of one of another job
 */
function strangerIn(entries) {
  const found = entries.find(({ value }) => [value.of, value.answer].some((other) => typeof other === "string" && jobOf(other) !== jobOf(value.id)));
  return found ? `This file is damaged: an entry in “${found.list}” speaks of another job.` : null;
}

/**
 * The readings as a table: a line for each figure that an answer was worked out from.
 *
 * @param {Listed[]} entries
 * @param {(job: string) => string} numberOf the job's number
 */
export function readingsTable(entries, numberOf) {
  const heads = ["job", "moment", "person", "form", "calculation", "engine", "field", "value", "verdict"];
  const lines = inOrder(entries.filter(({ list }) => list === "answers")).flatMap(({ value }) => {
    const common = [numberOf(jobOf(value.id)), value.at, value.person, value.title, value.calculation, value.engine];
    return figuresIn(value.request, "").map(([field, figure]) => [...common, field, figure, value.verdict]);
  });
  return `${[heads, ...lines].map((line) => line.map(cell).join(",")).join("\r\n")}\r\n`;
}

/**
 * @param {unknown} value
 * @param {string} path
 * @returns {[string, string][]}
 */
function figuresIn(value, path) {
  if (typeof value !== "object" || value === null) return [[path, String(value)]];
  return Object.entries(value).flatMap(([name, inner]) => figuresIn(inner, path ? `${path}.${name}` : name));
}

const AMOUNT = /^[-+]?[0-9.,]+( [A-Za-zµ°·"/]{1,9})?$/u;

/**
 * RFC 4180; what a spreadsheet would take for a formula is made a text.
 *
 * @param {string} text
 */
function cell(text) {
  const plain = /^[=+\-@\t\r\n]/.test(text) && !AMOUNT.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
