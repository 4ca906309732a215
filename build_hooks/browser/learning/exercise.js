import { needAttention } from "../page/need-attention.js";
import { whenQuiet } from "../page/when-quiet.js";
import { makeNode } from "../page/node-maker.js";
import { walkByArrows } from "../page/arrows.js";
import { askOf } from "./asks.js";
import { button, make } from "../page/make.js";
import { linkForFolder } from "./links.js";
import { PersonBar } from "./person-bar.js";
import { TEXTS } from "./learning-texts.js";

/** @typedef {import("./learning.js").Exercise} Exercise */

const LARGEST_SET = 9999;
let shown = 0;

/**
 * Exercises of one kind about one pack, one after another. A set has a short number: the same number gives the same exercises.
 * Practice makes and marks them; nothing is marked here.
 */
export class BenchExercise extends HTMLElement {
  /** @type {import("./learning.js").Learning} */
  static learning;

  /** @type {{exercise: Exercise, asks: import("./asks.js").Ask[], first: boolean, further?: boolean} | null} what is asked now */
  #now = null;
  #set = 0;
  #at = 1;
  /** @type {Map<number, boolean>} by seed: whether the first answer was right */
  #firsts = new Map();
  #ready = false;

  connectedCallback() {
    if (this.#ready) return;
    this.#ready = true;
    const title = this.querySelector(".bench-exercise-title")?.textContent ?? "";
    this.place = make("p", { class: "bench-exercise-set", "data-bench": "set" });
    this.body = make("form", { class: "bench-exercise-body", novalidate: true, onsubmit: (/** @type {Event} */ event) => this.#submitted(event) });
    this.state = make("p", { class: "bench-exercise-state", role: "status", "data-bench": "state" });
    this.result = make("section", { class: "bench-exercise-result", "data-bench": "mark", tabindex: -1, "aria-label": "Mark" });
    const parts = [make("p", { class: "bench-exercise-title" }, title), this.place, this.body, this.state, this.result, this.#setForm()];
    if (this.dataset.person !== "elsewhere") parts.push(new PersonBar(BenchExercise.learning).element);
    this.replaceChildren(...parts);
    walkByArrows(this);
    this.state.textContent = TEXTS.starting;
    whenQuiet(() => void this.#begin(Number(this.dataset.set) || chance()));
  }

  /** @returns {Exercise} */
  get #exercise() {
    const { kind = "", unit = "", pack = "", seed } = this.dataset;
    // The number of the set, and behind it the number in the set: both can be read off the seed.
    return { kind, unit, pack, seed: seed ? Number(seed) : Number(`${this.#set}${String(this.#at).padStart(2, "0")}`) };
  }

  get #count() {
    return this.dataset.seed ? 1 : Number(this.dataset.count ?? 3);
  }

  /** @param {number} set */
  async #begin(set) {
    this.#set = set;
    this.#at = 1;
    this.#firsts.clear();
    await this.#show();
  }

  async #show() {
    const exercise = this.#exercise;
    this.#clearMark();
    this.dataset.state = "making";
    this.#say(BenchExercise.learning.engine.state === "ready" ? TEXTS.making : TEXTS.starting);
    this.#where();
    try {
      const reply = await BenchExercise.learning.askAbout("make", exercise);
      if (reply.ok && reply.exercise) this.#ask(exercise, reply.exercise);
      else this.#fail(reply.ok ? TEXTS.notMade(reply.why_not ?? "") : reply.problems.map(wordsOf).join(" "));
    } catch (trouble) {
      this.#failed(trouble);
    }
  }

  #where() {
    if (!this.place) return;
    this.place.textContent = this.dataset.seed ? TEXTS.dueOne : TEXTS.setOf(this.#set, this.#at, this.#count);
  }

  /**
   * @param {Exercise} exercise
   * @param {any} made what practice has made
   */
  #ask(exercise, made) {
    const prefix = `exercise-${++shown}`;
    const asks = made.answer_form.map((/** @type {import("./asks.js").AskData} */ ask) => askOf(ask, prefix, (words) => this.#say(words)));
    this.#now = { exercise, asks, first: true };
    const carriesItsCards = made.answer_form.some((/** @type {{form: string}} */ ask) => ask.form === "order");
    this.body?.replaceChildren(
      make("p", { class: "bench-exercise-question" }, made.question),
      ...(carriesItsCards ? [] : [make("div", { class: "bench-exercise-shown" }, makeNode(made.shown))]),
      ...asks.map((/** @type {import("./asks.js").Ask} */ ask) => ask.element),
      make("p", { class: "bench-buttons" }, make("button", { type: "submit", "data-bench": "mark-it" }, TEXTS.markIt)),
    );
    this.dataset.state = "asked";
    this.#say("");
  }

  /**
   * An answer led to more: it stays as it is, and what it led to is shown and asked below it.
   *
   * @param {{exercise: Exercise, asks: import("./asks.js").Ask[], first: boolean, further?: boolean}} now
   * @param {any} further what practice asks now
   */
  #goOn(now, further) {
    for (const ask of now.asks) for (const input of ask.element.querySelectorAll("input")) input.disabled = !input.checked;
    const prefix = `exercise-${++shown}`;
    const asks = further.answer_form.map((/** @type {import("./asks.js").AskData} */ ask) => askOf(ask, prefix, (words) => this.#say(words)));
    now.asks.push(...asks);
    now.further = true;
    const above = this.body?.querySelector(".bench-buttons");
    above?.before(
      make("div", { class: "bench-exercise-shown bench-exercise-further", "data-bench": "further" }, makeNode(further.shown)),
      ...asks.map((/** @type {import("./asks.js").Ask} */ ask) => ask.element),
    );
    this.dataset.state = "asked";
    this.#say(TEXTS.goesOn);
    asks[0]?.element.querySelector("input")?.focus();
  }

  /** @param {Event} event */
  #submitted(event) {
    event.preventDefault();
    void this.#mark();
  }

  async #mark() {
    const now = this.#now;
    if (!now || this.dataset.state === "marking") return;
    const answer = Object.fromEntries(now.asks.map((ask) => [ask.id, ask.answer()]).filter(([, given]) => given !== undefined));
    this.dataset.state = "marking";
    this.#say(TEXTS.marking);
    try {
      // The answer belongs to the person shown now, even if another is chosen while it is marked.
      const person = await BenchExercise.learning.person();
      const reply = await BenchExercise.learning.askAbout("mark", now.exercise, { answer });
      if (this.#now !== now) return;
      if (reply.ok && reply.further) this.#goOn(now, reply.further);
      else if (reply.ok) await this.#marked(now, reply.mark, person);
      else this.#incomplete(now, reply.problems);
    } catch (trouble) {
      this.#failed(trouble);
    }
  }

  /**
   * @param {{exercise: Exercise, asks: import("./asks.js").Ask[], first: boolean, further?: boolean}} now
   * @param {import("./learning.js").Mark} mark
   * @param {import("./learning.js").Person | null} person
   */
  async #marked(now, mark, person) {
    const { first } = now;
    now.first = false;
    if (first) this.#firsts.set(now.exercise.seed, mark.right);
    this.#clearMark();
    const result = this.result;
    if (!result) return;
    result.dataset.right = String(mark.right);
    result.append(
      make("p", { class: "bench-exercise-verdict" }, make("strong", { class: "bench-verdict-word" }, mark.right ? TEXTS.right : TEXTS.wrong)),
      make("ul", { class: "bench-exercise-asks" }, ...mark.asks.map((ask) => this.#askMark(now, ask))),
      ...(mark.why.length ? [make("ul", { class: "bench-exercise-why" }, ...mark.why.map((line) => make("li", {}, line)))] : []),
      ...(mark.working.length ? [working(mark.working)] : []),
      ...(mark.read.length ? [this.#read(mark.read)] : []),
      this.#after(mark.right),
    );
    this.dataset.state = "marked";
    const recorded = await BenchExercise.learning.record(now.exercise, mark, { first, step: this.#step(), person });
    this.#say(recorded ? `${mark.right ? TEXTS.right : TEXTS.wrong}. ${wordsOfRecord(recorded, mark.right)}` : TEXTS.nobody);
    result.focus({ preventScroll: true });
    result.scrollIntoView({ block: "nearest" });
    this.dispatchEvent(new CustomEvent("bench:mark", { bubbles: true, detail: { exercise: now.exercise, right: mark.right, first } }));
  }

  /**
   * @param {{asks: import("./asks.js").Ask[]}} now
   * @param {import("./learning.js").Mark["asks"][number]} ask
   */
  #askMark(now, { id, right, given, answer }) {
    const element = now.asks.find((asked) => asked.id === id)?.element;
    if (element) element.dataset.right = String(right);
    const label = element?.querySelector("legend, label")?.textContent ?? "";
    // A right order is a list by itself: it is worked out below.
    const tells = !right && !element?.querySelector(".bench-order");
    return make(
      "li",
      { "data-right": String(right) },
      make("span", { class: "bench-ask-word" }, right ? TEXTS.isRight : TEXTS.isWrong),
      make("span", {}, ` ${label} `),
      tells && make("span", { class: "bench-ask-given" }, `${TEXTS.given} ${given} `),
      tells && make("span", { class: "bench-ask-answer" }, `${TEXTS.answer} ${answer}`),
    );
  }

  /** @param {{title: string, address: string}[]} read places of the manual, below the site */
  #read(read) {
    const root = new URL("../../", BenchExercise.learning.assets);
    const links = read.map(({ title, address }) => {
      const link = make("a", { href: new URL(address, root).href, "data-bench": "read" }, title);
      linkForFolder(link);
      return make("li", {}, link);
    });
    return make("div", { class: "bench-exercise-read" }, make("p", {}, TEXTS.read), make("ul", {}, ...links));
  }

  /** @param {boolean} right */
  #after(right) {
    const buttons = [];
    const last = this.#at >= this.#count;
    if (!right) buttons.push(button(TEXTS.again, () => this.#again(), { "data-bench": "again" }));
    if (!last) buttons.push(button(TEXTS.next, () => ((this.#at += 1), void this.#show()), { "data-bench": "next" }));
    else if (!this.dataset.seed) buttons.push(button(TEXTS.newSet, () => void this.#begin(chance()), { "data-bench": "new-set" }));
    const rights = Array.from(this.#firsts.values()).filter(Boolean).length;
    const done = last && !this.dataset.seed && make("p", { class: "bench-exercise-done" }, TEXTS.setDone(rights, this.#count));
    return make("div", { class: "bench-exercise-after" }, done, make("p", { class: "bench-buttons" }, ...buttons));
  }

  #again() {
    // What came of an answer would say that it was right: the exercise begins anew.
    if (this.#now?.further) return void this.#showAgain();
    this.#clearMark();
    this.dataset.state = "asked";
    this.#say("");
    this.#focusFirst();
  }

  async #showAgain() {
    await this.#show();
    if (this.#now) this.#now.first = false;
    this.#focusFirst();
  }

  #focusFirst() {
    const first = this.body?.querySelector("button, input");
    if (first instanceof HTMLElement) first.focus();
  }

  #clearMark() {
    this.result?.replaceChildren();
    delete this.result?.dataset.right;
    for (const asked of this.querySelectorAll(".bench-ask[data-right]")) asked.removeAttribute("data-right");
    for (const problem of this.querySelectorAll(".bench-ask-problem")) problem.remove();
  }

  /**
   * @param {{asks: import("./asks.js").Ask[]}} now
   * @param {{field: string, message: string, remedy?: string}[]} problems
   */
  #incomplete(now, problems) {
    this.#clearMark();
    this.dataset.state = "asked";
    /** @type {HTMLElement | null} */
    let first = null;
    for (const problem of problems) {
      const id = problem.field.split(".")[1];
      const element = now.asks.find((ask) => ask.id === id)?.element;
      element?.append(make("p", { class: "bench-ask-problem", "data-bench": "problem", "data-field": problem.field }, wordsOf(problem)));
      first ??= element?.querySelector("input, button") ?? null;
    }
    this.#say(needAttention(problems.length));
    first?.focus();
  }

  /** @param {unknown} trouble */
  #failed(trouble) {
    const { why, mend } = /** @type {import("../engine/protocol.js").Trouble} */ (trouble);
    this.#fail(why && mend ? TEXTS.cannot(why, mend) : TEXTS.noUnit);
  }

  /** @param {string} words */
  #fail(words) {
    this.dataset.state = "failed";
    this.#now = null;
    this.body?.replaceChildren();
    this.#say(words);
  }

  /** @param {string} words */
  #say(words) {
    if (this.state && this.state.textContent !== words) this.state.textContent = words;
  }

  #setForm() {
    if (this.dataset.seed) return make("span");
    const id = `exercise-set-${++shown}`;
    const entry = make("input", { id, type: "text", inputmode: "numeric", autocomplete: "off", maxlength: 4, name: "set" });
    const fault = make("span", { class: "bench-set-fault", role: "status" });
    const use = (/** @type {Event} */ event) => {
      event.preventDefault();
      const isSet = /^[1-9][0-9]{0,3}$/.test(entry.value.trim());
      fault.textContent = isSet ? "" : TEXTS.badSet;
      if (isSet) void this.#begin(Number(entry.value));
    };
    return make(
      "form",
      { class: "bench-set-form", onsubmit: use },
      make("label", { for: id }, TEXTS.setNumber),
      entry,
      make("button", { type: "submit" }, TEXTS.useSet),
      fault,
    );
  }

  /** @returns {import("./learning.js").ForStep | null} */
  #step() {
    const { path, step, edition } = this.dataset;
    return path && step && edition ? { path, step, edition } : null;
  }
}

/**
 * @param {{name: string, due: string | null, isKept: boolean}} recorded
 * @param {boolean} right
 */
function wordsOfRecord({ name, due, isKept }, right) {
  // Nothing that may be lost with the page is called recorded.
  const kept = isKept ? TEXTS.recorded(name) : TEXTS.onlyInPage(name);
  return due && !right ? `${kept} ${TEXTS.comesAgain(due)}` : kept;
}

/** @param {{message: string, remedy?: string}} problem */
function wordsOf({ message, remedy }) {
  return [message, remedy].filter(Boolean).join(" ");
}

/** @param {string[]} lines */
function working(lines) {
  return make(
    "section",
    { class: "bench-working" },
    make("p", { class: "bench-working-title" }, TEXTS.workingTitle),
    make("ol", {}, ...lines.map((line) => make("li", {}, line))),
  );
}

/** The number of a set by chance. */
function chance() {
  const [drawn = 0] = crypto.getRandomValues(new Uint16Array(1));
  return (drawn % LARGEST_SET) + 1;
}
