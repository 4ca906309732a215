import { inOrder, placeOf } from "../records/job-entries.js";

/**
 * What stands in a job: worked out from its entries, which are only ever added. Entries of two copies may arrive in any order.
 *
 * @typedef {import("../records/job-entries.js").Entry} Entry
 * @typedef {import("../records/job-entries.js").Listed} Listed
 */

/**
 * @typedef {object} HoldPage the hold points of a page
 * @property {string} page
 * @property {string} title
 * @property {Record<string, Entry>} ticks the tick of each, by its words; one that was taken back is not there
 * @property {Entry} first
 * @property {Entry} last
 */

/**
 * @typedef {object} Standing
 * @property {{number: string, unit: string, serial: string, complaint: string, technician: string}} details
 * @property {"open" | "closed"} state
 * @property {string} opened when, in universal time; empty for a job without a beginning
 * @property {string} closed
 * @property {string} changed when its newest entry was noted
 * @property {Record<string, Record<string, any>>} forms what each form holds, by its entries
 * @property {Record<string, Entry>} typed the newest change of each form
 * @property {Entry[]} answers all, the oldest first
 * @property {Record<string, HoldPage>} pages
 * @property {Record<string, {last: Entry, done: Record<string, Entry>, skipped: Record<string, Entry>}>} steps of each page the one that was taken last, those done and those left out
 * @property {Record<string, Entry>} parts replaced ones, by part and number
 * @property {Entry[]} waits what was done with timers
 * @property {Entry[]} notes
 * @property {Entry[]} pictures
 * @property {Record<string, Entry>} accepted by the answer's id
 * @property {{entry: Listed, correction: Entry}[]} corrected entries that do not count
 * @property {string[]} people
 */

const DETAILS = /** @type {const} */ (["number", "unit", "serial", "complaint", "technician"]);

/**
 * @param {Listed[]} entries in any order
 * @returns {Standing}
 */
export function standingOf(entries) {
  const ordered = inOrder(entries);
  const corrections = correctionsIn(ordered);
  /** @type {Standing} */
  const standing = {
    details: { number: "", unit: "", serial: "", complaint: "", technician: "" },
    state: "open", opened: "", closed: "", changed: "",
    forms: emptyMap(), typed: emptyMap(), answers: [], pages: emptyMap(), steps: emptyMap(), parts: emptyMap(), waits: [], notes: [], pictures: [], accepted: emptyMap(), corrected: [], people: [],
  }; // prettier-ignore
  for (const entry of ordered) {
    standing.changed = entry.value.at;
    const correction = corrections.get(entry.value.id);
    if (correction) standing.corrected.push({ entry, correction });
    else ADD[entry.list]?.(standing, entry.value);
    const { person } = entry.value;
    if (person && !standing.people.includes(person)) standing.people.push(person);
  }
  return standing;
}

/**
 * The newest first: a correction that was itself taken back changes nothing.
 *
 * @param {Listed[]} ordered
 * @returns {Map<string, Entry>} by the entry that does not count
 */
function correctionsIn(ordered) {
  const found = new Map();
  for (const { list, value } of ordered.slice().reverse()) {
    if (list === "corrections" && !found.has(value.id)) found.set(value.of, value);
  }
  return found;
}

/** @type {Record<string, (standing: Standing, value: Entry) => void>} by the list of the file */
const ADD = {
  details: (standing, value) => {
    for (const name of DETAILS) if (typeof value[name] === "string") standing.details[name] = value[name];
  },
  states: (standing, value) => {
    standing.state = value.state;
    if (value.state === "closed") standing.closed = value.at;
    else standing.opened ||= value.at;
  },
  forms: (standing, value) => {
    standing.typed[value.form] = value;
    applyChanges((standing.forms[value.form] ??= emptyMap()), value.changes);
  },
  answers: (standing, value) => void standing.answers.push(value),
  ticks: (standing, value) => {
    const page = (standing.pages[value.page] ??= { page: value.page, title: value.title, ticks: emptyMap(), first: value, last: value });
    page.last = value;
    page.title = value.title;
    if (value.ticked) page.ticks[value.hold] = value;
    else delete page.ticks[value.hold];
  },
  steps: (standing, value) => {
    const page = (standing.steps[value.page] ??= { last: value, done: emptyMap(), skipped: emptyMap() });
    page.last = value;
    const [to, from] = value.state === "skipped" ? [page.skipped, page.done] : [page.done, page.skipped];
    const key = `${value.number}\n${value.step}`; // Two steps of a page may have the same words.
    to[key] = value;
    delete from[key];
  },
  parts: (standing, value) => {
    const key = keyOfPart(value);
    if (value.count > 0) standing.parts[key] = value;
    else delete standing.parts[key];
  },
  waits: (standing, value) => void standing.waits.push(value),
  notes: (standing, value) => void standing.notes.push(value),
  pictures: (standing, value) => void standing.pictures.push(value),
  accepted: (standing, value) => void (standing.accepted[value.answer] = value),
};

/**
 * @param {Record<string, any>} form what it holds; changed
 * @param {Record<string, any>} changes null for what is gone
 */
export function applyChanges(form, changes) {
  for (const [name, one] of Object.entries(changes)) {
    if (one === null) delete form[name];
    else form[name] = one;
  }
}

/** @param {{part: string, number: string} | Entry} replaced */
export function keyOfPart({ part, number }) {
  return `${part}\n${number}`;
}

/**
 * How far the hold points of a page are. Two tablets may each have ticked some of them: then no entry has counted them all.
 *
 * @param {HoldPage} page
 * @returns {{done: number, total: number, next: string}} `next` is one that is open, in its words; empty where none is known
 */
export function progressOf({ ticks, last, first }) {
  const { total } = last;
  // Another edition of the page may have had other hold points: what its ticks say of these nobody knows.
  const isOne = first.edition === last.edition;
  const done = isOne ? Object.keys(ticks).length : last.done;
  return { done, total, next: done >= total || last.next in ticks ? "" : last.next };
}

/** The newest answer of each form, in the order in which the forms were first answered. @param {Standing} standing */
export function lastAnswers(standing) {
  const last = new Map();
  for (const answer of standing.answers) last.set(answer.form, answer);
  return /** @type {Entry[]} */ (Array.from(last.values()));
}

/**
 * Forms whose answer was struck out because of a reading, and that have none since.
 *
 * @param {Standing} standing
 * @returns {Map<string, string>} their titles by their pages
 */
export function unanswered({ corrected, answers }) {
  const struck = corrected.filter(({ entry, correction }) => entry.list === "answers" && correction.right !== undefined);
  const open = struck.filter(({ entry }) => !answers.some(({ form }) => form === entry.value.form));
  return new Map(open.map(({ entry }) => [entry.value.page, entry.value.title]));
}

/**
 * Whether the form of an answer was typed into since, so that the answer no longer belongs to what it holds.
 *
 * @param {Standing} standing
 * @param {Entry} answer
 */
export function isOutdated({ typed }, answer) {
  const last = typed[answer.form];
  return last !== undefined && placeOf(last) > placeOf(answer);
}

/**
 * Names come from files: none of them may mean something to the language.
 *
 * @returns {any}
 */
function emptyMap() {
  return Object.create(null);
}
