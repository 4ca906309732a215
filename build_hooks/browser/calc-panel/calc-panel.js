import { takeFromOtherForm, isFromOtherForm, markFromOtherForm } from "./form/from-other-form.js";
import { isComplete, isEmpty, isText } from "./form/entries.js";
import { requestOf } from "./form/form-request.js";
import { hasReadings, nextEmpty } from "./form/next-entry.js";
import { isStoredReadings, putBack, readingsOf } from "./form/stored-readings.js";
import { prepareLists } from "./form/list-rows.js";
import { pressRowButton } from "./form/row-buttons.js";
import { showUnits, systemOf, unitIn } from "./form/units-choice.js";
import { askAboutUnits, putConverted } from "./form/units-question.js";
import { emptyEntry, keepTyped, typedIn } from "./form/typed-amount.js";
import { showNames, takeName } from "./form/names.js";
import { showWanted } from "./form/when-fields.js";
import { FittedPart } from "./trials/fitted-part.js";
import { Trials } from "./trials/trials.js";
import { needAttention } from "../page/need-attention.js";
import { pageOf } from "../page/page-of.js";
import { clearProblems, focusSummary, showProblems } from "./view/problem-summary.js";
import { ResultView, outputIn } from "./view/result-view.js";
import { StateLine } from "./view/state-line.js";
import { TEXTS } from "./panel-texts.js";

/**
 * @typedef {{title: string, page: string}} About what a form is called, and the page that it is on
 * @typedef {EventTarget & {
 *   ready: Promise<void>, isClosed: boolean, get: (form: string) => unknown, isWaiting: (form: string) => boolean,
 *   holds: (form: string, readings: object) => boolean,
 *   set: (form: string, readings: object, about: About) => void, remove: (form: string, about: About) => void,
 * }} Readings where what is typed is kept; `other` says that it is another job's now, `more` that another tab has added some
 */
/**
 * @typedef {object} Bench what the panels of a page share
 * @property {import("../engine/client/engine-client.js").EngineClient} engine
 * @property {import("./form/units-choice.js").UnitsChoice} units
 * @property {Readings} readings
 */

const LONGEST_KEY = 120; // Characters that an entry of a job has for a form.
const QUIET = 200; // Milliseconds after the last key before figures are worked out unasked.
const QUIET_BEFORE_SAYING = 500;

/** One calculation of the page: reads the form, asks the engine, shows its answer. It calculates nothing. */
export class CalcPanel extends HTMLElement {
  /** @type {Bench} */
  static bench;

  /** @type {HTMLFormElement | null} */
  form = null;
  #asked = 0;
  /** The request whose answer is shown or awaited; empty when there is none. */
  #current = "";
  #stopped = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #listening = new AbortController();

  connectedCallback() {
    const form = this.querySelector("form");
    const line = this.querySelector("[data-bench=state]");
    const section = this.querySelector("[data-bench=result]");
    if (!form || !(line instanceof HTMLElement) || !(section instanceof HTMLElement)) return;
    if (!this.form) {
      this.form = form;
      this.line = new StateLine(line, () => CalcPanel.bench.engine.retry());
      this.result = new ResultView(section);
      prepareLists(form);
      this.fitted = FittedPart.in(form, () => this.#changed());
      this.trials = Trials.in(form, { changed: () => this.#changed(), request: () => requestOf(form, systemOf(form)) });
      this.#listen(form);
    }
    this.#listenOutside();
    showUnits(form, CalcPanel.bench.units.system ?? systemOf(form));
    showWanted(form);
    this.#engineState();
    void CalcPanel.bench.readings.ready.then(() => this.#restore());
  }

  disconnectedCallback() {
    this.#listening.abort();
    this.#drop();
  }

  /** @param {HTMLFormElement} form */
  #listen(form) {
    form.noValidate = true;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const question = this.#isAsking ? this.form?.querySelector("[data-bench=part-question] button") : null;
      if (question instanceof HTMLElement) return question.focus();
      this.#ask(true);
    });
    form.addEventListener("input", (event) => this.#edited(event.target));
    form.addEventListener("change", (event) => this.#edited(event.target));
    form.addEventListener("click", (event) => this.#pressed(event.target));
    form.addEventListener("keydown", (event) => this.#key(event));
  }

  #listenOutside() {
    const { engine, units, readings } = CalcPanel.bench;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    engine.addEventListener("state", () => this.#engineState(), { signal });
    units.addEventListener("change", () => this.#unitsChosen(), { signal });
    readings.addEventListener("other", () => this.#startAgain(), { signal });
    readings.addEventListener("more", () => this.#takeMore(), { signal });
    for (const name of ["bench:answer", "bench:no-answer"]) {
      document.addEventListener(name, (event) => this.#otherAnswered(event), { signal });
    }
  }

  #engineState() {
    const { state, trouble, progress } = CalcPanel.bench.engine;
    if (state === "failed" && trouble) {
      this.dataset.state = "failed";
      if (this.#asked) this.result?.showNone(TEXTS.notRunning);
      this.line?.say(TEXTS.couldNotStart(trouble.why, trouble.mend), { canRetry: true });
    } else if (state === "loading" || state === "idle") {
      this.dataset.state = "loading";
      this.line?.say(startingWords(progress, this.#asked > 0));
    } else if (state === "ready") {
      // A request is answered next; the message about a stopped calculation must stay.
      if (!this.#stopped && !this.#asked) this.line?.say(TEXTS.ready);
      if (this.#asked) this.line?.say(TEXTS.working);
      this.dataset.state = this.#asked ? "busy" : "ready";
    }
  }

  /** @param {EventTarget | null} target */
  #edited(target) {
    if (!this.form || !(target instanceof HTMLElement)) return;
    if (target instanceof HTMLInputElement && target.name === "units") return CalcPanel.bench.units.choose(target.value);
    if (target instanceof HTMLInputElement) {
      takeName(target);
      target.dataset.touched = "true";
      keepTyped(target, "");
      if (isText(target) && isFromOtherForm(target)) markFromOtherForm(target, "");
    }
    this.trials?.edited(target);
    this.fitted?.edited(target);
    this.#changed();
  }

  #unitsChosen() {
    const { system } = CalcPanel.bench.units;
    if (!this.form || !system) return;
    showUnits(this.form, system);
    this.#askAboutUnits();
    // The answer is given in the units chosen, so it changes with them; a worked example stays as it is.
    if (isComplete(this.form) && this.#isUsed()) this.#changed();
  }

  /**
   * Enter after a reading goes to the next one that is missing, and answers at the last: gauges that type a value and Enter
   * fill a form without a hand.
   *
   * @param {KeyboardEvent} event
   */
  #key(event) {
    const { target } = event;
    if (event.key !== "Enter" || event.isComposing || !this.form || !(target instanceof Element) || !isText(target)) return;
    event.preventDefault();
    const next = nextEmpty(this.form, target);
    if (next) return next.focus();
    if (isEmpty(target) && !("optionalField" in target.dataset)) return this.line?.say(TEXTS.unfinished);
    this.form.requestSubmit();
  }

  /** Readings typed before the units were switched: converted or cleared as the reader says, never without being asked. */
  #askAboutUnits() {
    if (!this.form) return;
    const form = this.form;
    askAboutUnits(form, {
      convert: async (entries) => {
        const converted = await this.#converted(entries);
        entries.forEach((entry, at) => putConverted(entry, converted[at]));
        this.#changed();
      },
      clear: (entries) => {
        entries.forEach(emptyEntry);
        this.#changed();
        entries[0]?.focus();
      },
    });
  }

  /**
   * @param {HTMLInputElement[]} entries
   * @returns {Promise<(string | undefined)[]>} each amount in the units chosen; undefined for what is no amount
   */
  #converted(entries) {
    const asked = entries.map(async (entry) => {
      const request = { value: typedIn(entry), to: unitIn(entry, systemOf(/** @type {HTMLFormElement} */ (this.form))) };
      const answer = await CalcPanel.bench.engine.run(`${this.id} ${entry.name}`, "convert", JSON.stringify(request));
      return answer?.panel ? outputIn(answer.panel, "converted") : undefined;
    });
    return Promise.all(asked);
  }

  /** @param {EventTarget | null} target */
  #pressed(target) {
    const button = target instanceof Element ? target.closest("button[data-bench]") : null;
    if (!(button instanceof HTMLElement)) return;
    if (button.dataset.bench === "clear") this.#clear();
    else if (pressRowButton(button)) this.#changed();
  }

  #changed() {
    if (!this.form) return;
    showUnits(this.form, systemOf(this.form)); // Entries that have just been added or emptied take the unit chosen.
    showWanted(this.form);
    // While it is not known which part was read with, what is kept is what was: a page that is left then comes back with that.
    if (!this.#isAsking) this.#keep();
    if (!isComplete(this.form)) {
      this.#drop();
      // The worked example goes with the first digit: nobody may take it for an answer to it.
      if (this.#isUsed() || hasReadings(this.form)) this.#noAnswer();
      else this.result?.keepExample();
      return;
    }
    if (this.#isAsking) {
      this.#drop();
      return this.#noAnswer(TEXTS.asking);
    }
    if (this.trials && !this.trials.hasBegun && !hasReadings(this.form)) return this.result?.keepExample();
    if (this.#requestText() === this.#current) return; // Leaving an entry changes nothing.
    this.#drop();
    this.#awaitAnswer();
    this.#timer = setTimeout(() => this.#ask(false), QUIET);
  }

  /** No answer to earlier figures is left as if it were one to these. */
  #awaitAnswer() {
    const { state, progress } = CalcPanel.bench.engine;
    if (state === "failed") return this.result?.showNone(TEXTS.notRunning);
    this.result?.awaitAnswer();
    this.line?.say(state === "ready" ? TEXTS.working : startingWords(progress, true));
  }

  /** Whether a question about the part that is fitted must be answered first. */
  get #isAsking() {
    return this.trials?.isAsking || this.fitted?.isAsking || false;
  }

  /** Whether there is an answer, or was one, to figures of the reader's own. */
  #isUsed() {
    return this.result?.section.dataset.example !== "true";
  }

  /** Stops waiting for earlier requests. */
  #drop() {
    clearTimeout(this.#timer);
    this.trials?.outdate();
    this.#asked = 0;
    this.#current = "";
    this.#stopped = false;
  }

  #requestText() {
    if (!this.form) return "";
    const request = requestOf(this.form, systemOf(this.form));
    this.trials?.addTo(request);
    return JSON.stringify(request);
  }

  /** @param {boolean} submitted by the reader, not by the quiet after a key */
  async #ask(submitted) {
    this.#drop();
    const { engine } = CalcPanel.bench;
    const request = (this.#current = this.#requestText());
    const mine = (this.#asked = ++CalcPanel.asked);
    this.#awaitAnswer();
    if (engine.state === "ready") this.dataset.state = "busy";
    try {
      const answer = await engine.run(this.id, this.dataset.calculator ?? "", request);
      if (!answer || this.#asked !== mine) return;
      this.#asked = 0;
      this.#show(answer, submitted);
      if (answer.reply.ok) this.trials?.show({ request: JSON.parse(request), result: answer.reply.result ?? {}, panel: answer.panel });
      this.#tell("bench:answer", { request: JSON.parse(request), reply: answer.reply, panel: answer.panel });
    } catch (trouble) {
      if (this.#asked !== mine) return;
      this.#drop();
      this.#failed(/** @type {import("../engine/protocol.js").Trouble} */ (trouble));
    }
  }

  static asked = 0;

  /**
   * @param {import("../engine/client/jobs.js").Answer} answer
   * @param {boolean} submitted
   */
  #show(answer, submitted) {
    if (!this.form) return;
    this.dataset.state = "ready";
    const after = submitted ? 0 : QUIET_BEFORE_SAYING;
    if (answer.reply.ok) {
      clearProblems(this.form);
      this.result?.show(answer);
      this.line?.say(String(answer.reply.result?.advice ?? TEXTS.workedOut), { after });
      if (submitted) this.result?.bringIntoSight();
      return;
    }
    const problems = /** @type {import("./view/problem-summary.js").Problem[]} */ (answer.reply.problems);
    showProblems(this.form, problems.map((problem) => ({ ...problem, field: this.trials?.fieldInForm(problem.field) ?? problem.field })));
    this.result?.showNone(TEXTS.noAnswer);
    this.line?.say(needAttention(problems.length), { after });
    if (submitted) focusSummary(this.form);
  }

  /** @param {import("../engine/protocol.js").Trouble} trouble */
  #failed({ why, mend }) {
    this.#stopped = true;
    this.dataset.state = CalcPanel.bench.engine.state === "ready" ? "ready" : "loading";
    this.result?.showNone(TEXTS.changed);
    this.line?.say(TEXTS.failed(why, mend));
  }

  /** @param {string} [words] why */
  #noAnswer(words = TEXTS.unfinished) {
    // Why nothing can be calculated, and the button that tries again, stay.
    if (CalcPanel.bench.engine.state !== "failed") this.line?.say(words);
    if (this.result?.section.dataset.stale === "true") return;
    this.result?.showNone(words);
    this.#tell("bench:no-answer", {});
  }

  /**
   * @param {"bench:answer" | "bench:no-answer"} name
   * @param {object} more
   */
  #tell(name, more) {
    const detail = { calculator: this.dataset.calculator ?? "", ...more };
    this.dispatchEvent(new CustomEvent(name, { bubbles: true, detail }));
  }

  /** @param {Event} event */
  #otherAnswered(event) {
    const source = event.target;
    if (!this.form || source === this || !(source instanceof HTMLElement)) return;
    const { reply } = /** @type {CustomEvent} */ (event).detail;
    if (takeFromOtherForm(this.form, source, reply?.result ?? {})) this.#changed();
  }

  #keep() {
    if (this.form) CalcPanel.bench.readings.set(this.key, this.#typed, this.about);
  }

  get #typed() {
    return this.form ? { ...readingsOf(this.form), trials: this.trials?.kept } : { lists: {}, entries: [], mappings: {} };
  }

  /** Another job's readings: nothing of the one before may be left in the form. */
  #startAgain() {
    this.#empty();
    this.#restore();
  }

  /** Another tab has typed into the same form. What is being typed here goes first. */
  #takeMore() {
    const { readings } = CalcPanel.bench;
    this.form?.toggleAttribute("inert", readings.isClosed); // Nobody types into what is not kept any more.
    if (!this.form || this.form.contains(document.activeElement) || readings.isWaiting(this.key)) return;
    if (readings.holds(this.key, this.#typed)) return;
    this.#empty(); // What the other tab has emptied would stay, and be written again with the next key.
    this.#restore();
  }

  #restore() {
    const { readings } = CalcPanel.bench;
    const stored = readings.get(this.key);
    this.form?.toggleAttribute("inert", readings.isClosed);
    if (!this.form || !isStoredReadings(stored)) return this.fitted?.settle();
    putBack(this.form, stored);
    this.fitted?.settle();
    this.trials?.restore(/** @type {{trials?: unknown}} */ (stored).trials);
    showNames(this.form);
    showUnits(this.form, systemOf(this.form));
    showWanted(this.form);
    if (this.trials && !this.trials.hasBegun && !hasReadings(this.form)) return;
    if (isComplete(this.form)) this.#ask(false);
    else if (hasReadings(this.form)) this.#noAnswer();
  }

  #clear() {
    this.#empty();
    CalcPanel.bench.readings.remove(this.key, this.about);
  }

  #empty() {
    if (!this.form) return;
    this.#drop();
    const system = systemOf(this.form);
    this.form.reset();
    this.fitted?.settle();
    this.trials?.clear();
    for (const entry of this.form.querySelectorAll("[data-touched]")) entry.removeAttribute("data-touched");
    for (const entry of this.form.querySelectorAll("[data-typed]")) keepTyped(/** @type {HTMLElement} */ (entry), "");
    for (const entry of this.form.querySelectorAll("[data-from-other-form]")) markFromOtherForm(/** @type {HTMLElement} */ (entry), "");
    showNames(this.form);
    showUnits(this.form, system);
    showWanted(this.form);
    clearProblems(this.form);
    this.#askAboutUnits();
    this.result?.reset();
    this.#tell("bench:no-answer", {});
    this.#engineState();
  }

  /** What the form's readings are kept under: the same on every page, if it is of a unit's data. */
  get key() {
    const { calculator = "", subject } = this.dataset;
    return (subject ? `${calculator} ${subject}` : `${pageOf(location)}#${this.id}`).slice(-LONGEST_KEY);
  }

  /** @returns {About} */
  get about() {
    return { title: (this.dataset.title ?? "").slice(0, 120), page: pageOf(location) };
  }
}

/**
 * @param {number} tenths of a slow start that have loaded
 * @param {boolean} asked whether readings are waiting for it
 */
function startingWords(tenths, asked) {
  if (tenths) return asked ? TEXTS.startingSlowlyWithReadings(tenths * 10) : TEXTS.startingSlowly(tenths * 10);
  return asked ? TEXTS.startingWithReadings : TEXTS.starting;
}
