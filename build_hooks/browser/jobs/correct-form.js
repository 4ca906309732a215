import { make } from "../page/make.js";
import { TEXTS } from "./jobs-texts.js";
import { inOrder } from "../records/job-entries.js";
import { momentOf } from "./moments.js";
import { fieldsOf, listOf, wordsOf } from "./noted.js";

/**
 * @typedef {import("../records/job-entries.js").Entry} Entry
 * @typedef {import("../records/job-entries.js").Listed} Listed
 * @typedef {import("./standing.js").Standing} Standing
 */

/**
 * @typedef {object} Correctable something that may be wrong
 * @property {keyof typeof TEXTS.correctionKinds} kind
 * @property {string} words how it is listed
 * @property {string} of key of the entry that will not count any more
 * @property {string} [was] the figure or fact that is put right; without one the entry is taken back
 * @property {string} [what] what that is
 * @property {(right: string) => [string, Record<string, unknown>]} [put] the list, and the entry that puts it right
 */

const DETAILS = /** @type {const} */ (["number", "unit", "serial", "complaint", "technician"]);
const TAKEN_BACK = new Set(["answers", "ticks", "steps", "parts", "notes", "pictures", "accepted", "corrections"]);
const TYPED = "entry "; // What a form holds of a field begins so.
const LONGEST = 120; // Characters of an entry in the list.

/**
 * What an entry says, in short.
 *
 * @param {Listed} entry
 */
export function entryWords({ list, value }) {
  const words = WORDS[list]?.(value) ?? list;
  return words.length > LONGEST ? `${words.slice(0, LONGEST)}…` : words;
}

/** @type {Record<string, (value: Entry) => string>} by the list of the file */
const WORDS = {
  details: (value) => [value.number, value.unit, value.serial, value.complaint, value.technician].filter(Boolean).join(", "),
  states: ({ state }) => TEXTS.jobState(state),
  forms: ({ title }) => title,
  answers: ({ title, shown }) => TEXTS.answerEntry(title, wordsOf(shown.advice) || wordsOf(shown.verdict)),
  ticks: ({ title, hold }) => `${title}: ${hold}`,
  steps: (value) => TEXTS.stepEntry(value),
  parts: ({ part, number }) => `${part} ${number}`.trim(),
  waits: ({ title, press }) => TEXTS.timerEntry(title, press),
  notes: ({ text }) => text,
  pictures: ({ about, at }) => `${about}, ${momentOf(at)}`,
  accepted: ({ reason }) => reason,
  corrections: ({ reason }) => reason,
};

/**
 * What of a job may be corrected: the facts of the job, the readings typed, and every entry that counts.
 *
 * @param {Listed[]} entries
 * @param {Standing} standing
 * @returns {Correctable[]}
 */
export function correctables(entries, standing) {
  const gone = new Set(standing.corrected.map(({ entry }) => entry.value.id));
  const counting = inOrder(entries).filter(({ value }) => !gone.has(value.id));
  return [...wrongDetails(counting, standing), ...wrongReadings(standing), ...counting.slice().reverse().flatMap(wrongEntry)];
}

/** @param {Listed} entry @returns {Correctable[]} */
function wrongEntry(entry) {
  const { list, value } = entry;
  // A tick that was taken back on its page is no tick, and what was put right is put right once more.
  if (!TAKEN_BACK.has(list) || value.ticked === false || value.count === 0 || value.right !== undefined) return [];
  return [{ kind: /** @type {Correctable["kind"]} */ (list), words: entryWords(entry), of: value.id }];
}

/**
 * @param {Listed[]} counting
 * @param {Standing} standing
 * @returns {Correctable[]}
 */
function wrongDetails(counting, { details }) {
  const last = counting.filter(({ list }) => list === "details").at(-1);
  if (!last) return [];
  return DETAILS.map((name) => ({
    kind: "details", what: TEXTS.labels[name], was: details[name], words: `${TEXTS.labels[name]}: ${details[name] || "–"}`, of: last.value.id,
    put: (right) => ["details", { ...details, [name]: right }],
  })); // prettier-ignore
}

/**
 * Readings of forms that have an answer: before that they are typed anew in their form, and nothing rests on them.
 *
 * @param {Standing} standing
 * @returns {Correctable[]}
 */
function wrongReadings({ answers, forms }) {
  const last = new Map(answers.map((answer) => [answer.form, answer]));
  return Array.from(last.values()).flatMap((answer) =>
    Object.entries(forms[answer.form] ?? {}).flatMap(([fact, entry]) => {
      const { value, unit } = fieldsOf(entry);
      if (!fact.startsWith(TYPED) || !unit || !/[0-9]/.test(wordsOf(value))) return [];
      const what = `${answer.title}, ${readingName(fact.slice(TYPED.length), answer, trialsBefore(forms[answer.form] ?? {}))}`;
      return [{
        kind: "readings", what, was: `${value} ${unit}`, words: `${what}: ${value} ${unit}`, of: answer.id,
        put: (/** @type {string} */ right) => ["forms", { form: answer.form, title: answer.title, page: answer.page, changes: { [fact]: { value: right, unit, touched: true } } }],
      }]; // prettier-ignore
    }),
  );
}

/**
 * A form holds the trial that is being read; those before it are kept beside it.
 *
 * @param {Record<string, any>} form
 */
function trialsBefore(form) {
  return Object.keys(form).filter((fact) => /^trial \d+$/.test(fact)).length;
}

/**
 * The name of a field in words: `trials.0.readings.1.lifts.2` is “trial 1, direct, lift 3”.
 *
 * @param {string} name
 * @param {Entry} answer
 * @param {number} before how many trials came before the one that is in the form
 */
function readingName(name, { request }, before) {
  const steps = name.split(".");
  const words = steps.flatMap((step, at) => {
    if (/^[0-9]+$/.test(step)) return [];
    const number = /^[0-9]+$/.test(steps[at + 1] ?? "") ? Number(steps[at + 1]) : null;
    if (step === "trials" && number !== null) return [`${TEXTS.reading.trials} ${number + before + 1}`];
    const named = step === "readings" ? request.packs : step === "fitted" ? request.positions : [];
    const pack = number !== null ? wordsOf(fieldsOf(listOf(named)[number]).name) : "";
    const said = /** @type {Record<string, string>} */ (TEXTS.reading)[step] ?? step.replaceAll("_", " ");
    return [pack || (number === null ? said : `${said} ${number + 1}`)];
  });
  return words.join(", ");
}

/**
 * The form that corrects an entry of the current job.
 *
 * @param {import("./jobs.js").Jobs} jobs
 * @param {Listed[]} entries
 * @param {Standing} standing
 * @returns {HTMLElement}
 */
export function correctForm(jobs, entries, standing) {
  const all = correctables(entries, standing);
  const kinds = Object.entries(TEXTS.correctionKinds).filter(([kind]) => all.some((one) => one.kind === kind));
  const choice = make(
    "select",
    { id: "bench-correct-what", "data-bench": "correct-what", onchange: () => show() },
    make("option", { value: "" }, "–"),
    ...kinds.map(([kind, label]) =>
      make("optgroup", { label }, ...all.flatMap((one, at) => (one.kind === kind ? [make("option", { value: String(at) }, one.words)] : []))),
    ),
  );
  const right = make("input", { type: "text", id: "bench-correct-right", maxlength: 500, autocomplete: "off" });
  const reason = make("input", { type: "text", id: "bench-correct-reason", maxlength: 500, autocomplete: "off" });
  const rightRow = make("p", { hidden: true }, make("label", { for: right.id }, TEXTS.right), right);
  const fault = make("p", { role: "alert", class: "bench-job-fault", "data-bench": "correct-problem" });
  const send = make("button", { type: "submit", "data-bench": "correct" }, TEXTS.takeBack);
  const chosen = () => all[choice.value === "" ? -1 : Number(choice.value)];
  const show = () => {
    rightRow.hidden = !chosen()?.put;
    if (chosen()?.what === TEXTS.labels.unit) right.setAttribute("list", "bench-correct-units");
    else right.removeAttribute("list");
    right.value = chosen()?.put ? (chosen()?.was ?? "").replace(/ \S+$/, (unit) => (chosen()?.kind === "readings" ? "" : unit)) : "";
    send.textContent = chosen()?.put ? TEXTS.correct : TEXTS.takeBack;
  };
  const correct = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const one = chosen();
    fault.textContent = one ? await problemWith(jobs, one, right.value.trim(), reason.value.trim()) : TEXTS.wrongMissing;
    if (!one || fault.textContent) return;
    for (const entry of [choice, right, reason]) entry.blur(); // The sheet is shown anew where nobody is typing.
    await noteCorrection(jobs, one, right.value.trim(), reason.value.trim());
  };
  return make(
    "details",
    { class: "bench-correct", "data-bench": "correct-entry" },
    make("summary", {}, TEXTS.correctIt),
    make(
      "form",
      { onsubmit: (/** @type {Event} */ event) => void correct(event) },
      make("p", {}, TEXTS.correctAbout),
      make("p", {}, make("label", { for: choice.id }, TEXTS.wrong), choice),
      rightRow,
      make("datalist", { id: "bench-correct-units" }, ...unitNames().map((value) => make("option", { value }))),
      make("p", {}, make("label", { for: reason.id }, TEXTS.correctReason), reason),
      fault,
      make("p", { class: "bench-job-buttons" }, send),
    ),
  );
}

/** @returns {string[]} units of this manual */
function unitNames() {
  const bar = document.querySelector("bench-job-bar");
  return JSON.parse(bar?.getAttribute("data-units") ?? "[]");
}

/**
 * @param {import("./jobs.js").Jobs} jobs
 * @param {Correctable} one
 * @param {string} right
 * @param {string} reason
 */
async function problemWith(jobs, { kind, what, was, put }, right, reason) {
  if (!jobs.worker) return TEXTS.workerMissing;
  if (put && !right && (kind === "readings" || what === TEXTS.labels.number)) return TEXTS.rightMissing;
  if (put && (right === was || (kind === "readings" && was?.startsWith(`${right} `)))) return TEXTS.rightSame;
  if (what === TEXTS.labels.unit && !unitNames().includes(right)) return TEXTS.unitUnknown(unitNames().join(", "));
  if (what === TEXTS.labels.number && (await jobs.summaries()).some(({ number, state }) => number === right && state === "open")) return TEXTS.numberTaken(right);
  return reason ? "" : TEXTS.reasonMissing;
}

/**
 * What is right is noted first: a page that is left in between has then both, the older of which is struck out.
 *
 * @param {import("./jobs.js").Jobs} jobs
 * @param {Correctable} one
 * @param {string} right
 * @param {string} reason
 */
async function noteCorrection(jobs, { kind, of, what, was, put }, right, reason) {
  const said = put ? { what, was: was ?? "", right: kind === "readings" ? `${right} ${(was ?? "").split(" ").at(-1)}` : right } : {};
  if (put) void jobs.note(...put(right));
  await jobs.note("corrections", { of, reason, ...said });
}
