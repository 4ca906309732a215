import { isEmpty, isText } from "../form/entries.js";
import { emptyReading } from "../form/typed-amount.js";
import { isStoredReadings, putBack, readingsOf } from "../form/stored-readings.js";
import { earlierTrial, showEarlierReadings } from "./earlier-trials.js";
import { partQuestion } from "./part-question.js";
import { TEXTS } from "../panel-texts.js";
import { isPanel } from "../../page/node-maker.js";

/**
 * @typedef {import("../../page/node-maker.js").ElementData} ElementData
 * @typedef {import("../form/stored-readings.js").StoredReadings} StoredReadings
 */
/**
 * @typedef {object} EarlierTrial one that is over: its parts have been changed since
 * @property {Record<string, any>} trial as the engine is asked
 * @property {StoredReadings} entries as it was typed
 * @property {ElementData | null} panel the answer that stood then
 */
/**
 * @typedef {object} Answered the answer to the figures that stand in the form
 * @property {Record<string, any>} request
 * @property {Record<string, any>} result
 * @property {ElementData | null} panel
 */

/**
 * @typedef {object} Panel what the trials need of the panel they are in
 * @property {() => void} changed is called when the present trial is another one
 * @property {() => Record<string, any>} request what the form asks, without the earlier trials
 */

/**
 * The trials of a drum: the form holds the present one, those before it are kept and sent with it. A reading belongs to the parts
 * that were in the drum when it was taken; so a part cannot be changed beneath readings without a word about it.
 */
export class Trials {
  /** @type {EarlierTrial[]} */
  earlier = [];
  /** @type {Answered | null} */
  answered = null;
  /** What the entries of the fitted parts held when they were last known to be true. */
  #settled = "";

  /**
   * @param {HTMLFormElement} form
   * @param {HTMLElement} box
   * @param {Panel} panel
   */
  constructor(form, box, panel) {
    this.form = form;
    this.box = box;
    this.panel = panel;
    this.next = this.#nextButton();
    this.#settle();
  }

  /**
   * @param {HTMLFormElement} form
   * @param {Panel} panel
   * @returns {Trials | null} null for a form without trials
   */
  static in(form, panel) {
    const box = form.querySelector("[data-bench=trial]");
    return box instanceof HTMLElement ? new Trials(form, box, panel) : null;
  }

  /** @param {Record<string, any>} request that the form makes; the earlier trials are put before its own */
  addTo(request) {
    const name = this.box.dataset.trials ?? "";
    request[name] = [...this.earlier.map(({ trial }) => trial), ...Object.values(request[name] ?? {})];
  }

  /**
   * The field of a problem as the form calls it: there the present trial is the only one.
   *
   * @param {string} field
   */
  fieldInForm(field) {
    const name = this.box.dataset.trials ?? "";
    const present = `${name}.${this.earlier.length}.`;
    return field.startsWith(present) ? `${name}.0.${field.slice(present.length)}` : field;
  }

  /** Whether there is something to answer, though nothing is typed yet. */
  get hasBegun() {
    return this.earlier.length > 0;
  }

  /** Whether a question stands that must be answered first. */
  get isAsking() {
    return this.#question() !== null;
  }

  /** @param {EventTarget | null} target an entry that has been changed */
  edited(target) {
    if (!(target instanceof HTMLElement) || !target.closest("[data-bench=fitted]")) return;
    if (this.#fittedText() === this.#settled) return this.#question()?.remove();
    // A thickness that is written down for the first time tells more of the same part.
    const isSame = target instanceof HTMLInputElement && this.#wasEmpty(target);
    if (isSame || !this.#hasReadings()) return this.#settle();
    if (!this.isAsking) this.#ask(this.answered?.panel ?? null);
  }

  /** The figures have changed: the answer that stood is not theirs. */
  outdate() {
    this.answered = null;
    this.next.disabled = true;
  }

  /** @param {Answered} answered */
  show(answered) {
    this.answered = answered;
    showEarlierReadings(this.box, this.earlier, answered.result);
    this.next.hidden = false;
    this.next.disabled = !this.#hasReadings();
    this.next.textContent = answered.result.fit ? TEXTS.nextAsOrdered : TEXTS.nextTrial;
  }

  /** @returns {EarlierTrial[] | undefined} what is to be stored */
  get kept() {
    return this.earlier.length ? this.earlier : undefined;
  }

  /** @param {unknown} kept */
  restore(kept) {
    this.earlier = Array.isArray(kept) ? kept.filter(isEarlier) : [];
    this.#settle();
    this.#showEarlier();
  }

  clear() {
    this.#question()?.remove();
    this.restore([]);
    showEarlierReadings(this.box, [], {});
    this.next.hidden = true;
    this.answered = null;
  }

  /** The parts have been changed as ordered: what was read belongs to the earlier trial, and the new one begins without readings. */
  #begin() {
    if (!this.answered) return;
    const { request, result, panel } = this.answered;
    this.earlier.push({ trial: request[this.box.dataset.trials ?? ""].at(-1), entries: readingsOf(this.form), panel });
    this.#fit(result.fit ?? {});
    this.#startEmpty();
  }

  /** @param {Record<string, string>} ordered the size for each place that changes */
  #fit(ordered) {
    for (const item of this.#places()) {
      const [name, size, measured] = item.querySelectorAll("input[type=hidden], select, input[type=text]");
      const wanted = name instanceof HTMLInputElement ? ordered[name.value] : undefined;
      if (wanted === undefined) continue;
      if (size instanceof HTMLSelectElement) size.value = wanted;
      if (measured instanceof HTMLInputElement) measured.value = "";
    }
  }

  #startEmpty() {
    for (const entry of this.#readings()) emptyReading(entry);
    this.outdate();
    this.#settle();
    this.#showEarlier();
    this.panel.changed();
    const first = this.box.querySelector("[data-bench=trial-number]");
    if (first instanceof HTMLElement) first.scrollIntoView({ block: "center" });
  }

  /**
   * A part was chosen while readings stand that were taken with another.
   *
   * @param {ElementData | null} panel the answer to them
   */
  #ask(panel) {
    const was = JSON.parse(this.#settled);
    const question = partQuestion({
      change: () => {
        const now = this.#fittedValues();
        this.#putFitted(was);
        const [trial] = this.panel.request()[this.box.dataset.trials ?? ""];
        this.earlier.push({ trial, entries: readingsOf(this.form), panel });
        this.#putFitted(now);
        question.remove();
        this.#startEmpty();
      },
      correct: () => {
        question.remove();
        this.#settle();
        this.panel.changed();
      },
      back: () => {
        this.#putFitted(was);
        question.remove();
        this.panel.changed();
      },
    });
    this.box.querySelector("[data-bench=fitted]")?.append(question);
    question.querySelector("button")?.focus();
  }

  #showEarlier() {
    const place = this.box.querySelector("[data-bench=earlier-trials]");
    const last = this.earlier.length - 1;
    place?.replaceChildren(
      ...this.earlier.map((one, at) => earlierTrial(one, at + 1, this.box, at === last ? () => this.#goBack() : null)),
    );
    const number = this.box.querySelector("[data-bench=trial-number]");
    if (number) number.textContent = TEXTS.trial(this.earlier.length + 1);
    for (const pack of this.box.querySelectorAll("[data-bench=pack]")) pack.removeAttribute("data-asked");
  }

  /** Takes the newest earlier trial up again, and drops the present one. */
  #goBack() {
    const last = this.earlier.pop();
    if (!last) return;
    this.#question()?.remove();
    putBack(this.form, last.entries);
    this.#settle();
    this.#showEarlier();
    this.panel.changed();
  }

  #nextButton() {
    const button = document.createElement("button");
    button.type = "button";
    button.hidden = true;
    button.dataset.bench = "next-trial";
    button.addEventListener("click", () => this.#begin());
    this.form.querySelector("[data-bench=clear]")?.before(button);
    return button;
  }

  #settle() {
    this.#settled = this.#fittedText();
  }

  #fittedText() {
    return JSON.stringify(this.#fittedValues());
  }

  /** @returns {[string, string][]} */
  #fittedValues() {
    return this.#fittedEntries().map((entry) => [entry.name, entry.value]);
  }

  /** @param {[string, string][]} values */
  #putFitted(values) {
    const entries = this.#fittedEntries();
    values.forEach(([, value], at) => {
      const entry = entries[at];
      if (entry) entry.value = value;
    });
  }

  /** @returns {(HTMLInputElement | HTMLSelectElement)[]} */
  #fittedEntries() {
    return Array.from(this.box.querySelectorAll("[data-bench=fitted] select, [data-bench=fitted] input[type=text]")).filter(
      (entry) => entry instanceof HTMLSelectElement || entry instanceof HTMLInputElement,
    );
  }

  /** @param {HTMLInputElement} entry */
  #wasEmpty(entry) {
    const [, before = ""] = JSON.parse(this.#settled).find((/** @type {[string, string]} */ [name]) => name === entry.name) ?? [];
    return before.trim() === "";
  }

  #hasReadings() {
    return this.#readings().some((entry) => !isEmpty(entry));
  }

  #readings() {
    return Array.from(this.box.querySelectorAll("[data-bench=pack] input[type=text]")).filter(isText);
  }

  #places() {
    return this.box.querySelectorAll("[data-bench=fitted] [data-bench=item]");
  }

  #question() {
    return this.box.querySelector("[data-bench=part-question]");
  }
}

/**
 * @param {unknown} value
 * @returns {value is EarlierTrial}
 */
function isEarlier(value) {
  const { trial, entries, panel } = /** @type {Partial<EarlierTrial>} */ (value ?? {});
  const parts = typeof trial === "object" && trial !== null ? Object.values(trial) : [null];
  return parts.every(isFields) && isStoredReadings(entries) && (panel === null || isPanel(panel));
}

/**
 * @param {unknown} value
 * @returns {boolean} fields of fields: what was fitted by its place, or what was read by its pack
 */
function isFields(value) {
  return typeof value === "object" && value !== null && Object.values(value).every((one) => typeof one === "object" && one !== null);
}
