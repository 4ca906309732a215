import { now, today } from "../records/keys.js";
import { walkByArrows } from "./arrows.js";
import { toldTo } from "./learning.js";
import { lettersChoice } from "./letters.js";
import { button, make } from "../page/make.js";
import { PersonBar } from "./person-bar.js";
import { doneBy, stateOf, unfinishedNeeds } from "./progress.js";
import { linkForFolder } from "./links.js";
import { TEXTS } from "./learning-texts.js";

/** @typedef {import("./progress.js").StepState} StepState */

/** A path as a person goes along it: what is done, what is next, what has changed, and the senior's name under each task. */
export class BenchPath extends HTMLElement {
  /** @type {import("./learning.js").Learning} */
  static learning;
  /** @type {import("./progress.js").Path[]} */
  paths = [];
  #ready = false;

  connectedCallback() {
    const told = toldTo(this);
    if (this.#ready || !told) return;
    this.#ready = true;
    this.paths = told.paths;
    this.path = this.paths.find(({ id }) => id === this.dataset.path);
    const { learning } = BenchPath;
    this.standing = make("div", { class: "bench-path-standing", "data-bench": "standing-of-path", role: "status" });
    this.querySelector(".bench-needs-script")?.replaceWith(new PersonBar(learning).element, this.standing);
    for (const link of this.querySelectorAll("a")) linkForFolder(link);
    for (const item of this.#items()) item.append(make("div", { class: "bench-step-state" }));
    this.append(lettersChoice(learning.store, told.screens));
    walkByArrows(this);
    learning.addEventListener("change", () => void this.#show());
    void this.#show();
  }

  #items() {
    return /** @type {HTMLElement[]} */ (Array.from(this.querySelectorAll("li[data-step]")));
  }

  async #show() {
    const { path, standing } = this;
    const person = await BenchPath.learning.person();
    if (!path || !standing) return;
    if (!person) {
      standing.replaceChildren();
      for (const item of this.#items()) {
        this.#markNext(item, false);
        this.#put(item, null, false);
      }
      return;
    }
    const done = await doneBy(BenchPath.learning.records, person.id);
    const state = stateOf(path, done);
    const needs = unfinishedNeeds(path, this.paths, done);
    standing.replaceChildren(...this.#standing(state, needs));
    for (const needed of this.querySelectorAll("[data-needs]")) this.#showNeed(/** @type {HTMLElement} */ (needed), done);
    for (const item of this.#items()) {
      const found = state.steps.find(({ step }) => step.id === item.dataset.step) ?? null;
      this.#markNext(item, needs.length === 0 && found?.step === state.next);
      this.#put(item, found, needs.length > 0);
    }
  }

  /**
   * @param {import("./progress.js").PathState} state
   * @param {import("./progress.js").PathState[]} needs
   */
  #standing(state, needs) {
    const { path, done, steps, next, began } = state;
    const count = steps.length;
    const lines = [make("p", { class: "bench-path-done" }, done === 0 ? TEXTS.noneDone(count) : next ? TEXTS.done(done, count) : TEXTS.allDone)];
    if (needs.length) lines.push(make("p", { class: "bench-path-first" }, TEXTS.needsFirst(needs.map((needed) => needed.path.name).join(", "))));
    else if (next) {
      lines.push(make("p", { class: "bench-path-next" }, make("a", { href: `#${next.id}` }, TEXTS.nextIs(next.title))));
    }
    const changes = began ? path.changes.filter((change) => path.editions.indexOf(change.edition) > path.editions.indexOf(began)) : [];
    if (began && changes.length) {
      const again = steps.filter((step) => step.state === "again").length;
      lines.push(
        make(
          "div",
          { class: "bench-path-changes", "data-bench": "changes" },
          make("p", {}, make("strong", {}, TEXTS.changedSince(began))),
          make("ul", {}, ...changes.map((change) => make("li", {}, TEXTS.inEdition(change.edition, change.what)))),
          make("p", {}, again ? TEXTS.againSteps(again) : TEXTS.nothingAgain),
        ),
      );
    }
    return lines;
  }

  /**
   * @param {HTMLElement} item
   * @param {boolean} isNext
   */
  #markNext(item, isNext) {
    item.toggleAttribute("data-next", isNext);
    item.querySelector(".bench-next")?.remove();
    if (isNext) item.querySelector(".bench-step-what")?.prepend(make("span", { class: "bench-next" }, TEXTS.nextStep), " ");
  }

  /**
   * @param {HTMLElement} item
   * @param {Awaited<ReturnType<typeof doneBy>>} done
   */
  #showNeed(item, done) {
    const needed = this.paths.find(({ id }) => id === item.dataset.needs);
    if (!needed) return;
    const state = stateOf(needed, done);
    const words = state.next ? TEXTS.notFinished(state.done, state.steps.length) : TEXTS.isFinished;
    item.querySelector(".bench-need-state")?.remove();
    item.append(make("span", { class: "bench-need-state" }, ` ${words}`));
  }

  /**
   * @param {HTMLElement} item
   * @param {StepState | null} found
   * @param {boolean} locked
   */
  #put(item, found, locked) {
    const place = item.querySelector(".bench-step-state");
    // What is being typed here stays.
    if (!place || (place.contains(document.activeElement) && document.activeElement instanceof HTMLInputElement)) return;
    item.dataset.state = found?.state ?? "";
    place.replaceChildren(...(found ? this.#state(item, found, locked) : []));
  }

  /**
   * @param {HTMLElement} item
   * @param {StepState} found
   * @param {boolean} locked
   */
  #state(item, found, locked) {
    const { step, state, record, right } = found;
    const again = state === "again" && make("p", { class: "bench-step-again" }, `${TEXTS.doAgain}: ${TEXTS.olderEdition(record?.edition ?? this.path?.editions[0] ?? "")}`);
    if (step.form === "practice") return [again || "", make("p", {}, TEXTS.rightOf(right, step.practice?.count ?? 0))];
    if (state === "done") {
      const words = step.form === "page" ? TEXTS.readOn(record.on) : TEXTS.seenOn(record.senior, record.on);
      return [make("p", {}, words, " ", button(TEXTS.takeBack, () => void this.#takeBack(step, record), { class: "bench-quiet" }))];
    }
    if (step.form === "page") {
      const read = button(TEXTS.haveRead, () => void this.#read(step), { disabled: locked, "data-bench": "have-read" });
      return [again || "", read];
    }
    const open = () => {
      const form = this.#signForm(item, step);
      place?.replaceChildren(form);
      form.querySelector("input")?.focus();
    };
    const place = item.querySelector(".bench-step-state");
    return [again || "", button(TEXTS.openSign, open, { disabled: locked, "data-bench": "open-sign" })];
  }

  /** @param {import("./progress.js").Step} step */
  async #read(step) {
    const { learning } = BenchPath;
    const person = await learning.person();
    if (!person || !this.path) return;
    await learning.records.put([{ kind: "step", id: idOf(person.id, this.path.id, step.id), value: this.#done(person.id, step) }]);
  }

  /**
   * @param {string} person
   * @param {import("./progress.js").Step} step
   */
  #done(person, step) {
    const { id = "", edition = "" } = this.path ?? {};
    return { at: now(), id: idOf(person, id, step.id), person, path: id, step: step.id, edition, on: today() };
  }

  /**
   * @param {import("./progress.js").Step} step
   * @param {any} record
   */
  async #takeBack(step, record) {
    const kind = step.form === "task" ? "signed" : "step";
    await BenchPath.learning.records.put([{ kind, id: record.id, value: { ...record, at: now(), taken_back: true } }]);
  }

  /**
   * @param {HTMLElement} item
   * @param {import("./progress.js").Step} step
   */
  #signForm(item, step) {
    const senior = make("input", { id: `${step.id}-senior`, type: "text", autocomplete: "off", maxlength: 80 });
    const day = make("input", { id: `${step.id}-day`, type: "date", value: today(), max: today() });
    const fault = make("p", { class: "bench-sign-fault", role: "status" });
    return make(
      "form",
      {
        class: "bench-sign",
        "data-bench": "sign",
        novalidate: true,
        onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), void this.#sign(item, step, { senior, day, fault })),
      },
      make("span", {}, make("label", { for: senior.id }, TEXTS.senior), senior),
      make("span", {}, make("label", { for: day.id }, TEXTS.day), day),
      make("button", { type: "submit" }, TEXTS.sign),
      fault,
    );
  }

  /**
   * @param {HTMLElement} item
   * @param {import("./progress.js").Step} step
   * @param {{senior: HTMLInputElement, day: HTMLInputElement, fault: HTMLElement}} form
   */
  async #sign(item, step, { senior, day, fault }) {
    const { learning } = BenchPath;
    const person = await learning.person();
    if (!person || !this.path) return;
    const name = senior.value.trim().replace(/\s+/g, " ");
    const own = name.toLowerCase() === person.name.toLowerCase();
    const words = !name ? TEXTS.noSenior : own ? TEXTS.ownTask : !day.value || day.value > today() ? TEXTS.badDay : "";
    fault.textContent = words;
    if (words) return (words === TEXTS.badDay ? day : senior).focus();
    const value = { ...this.#done(person.id, step), on: day.value, senior: name };
    senior.blur();
    await learning.records.put([{ kind: "signed", id: value.id, value }]);
    const back = item.querySelector("button");
    if (back instanceof HTMLElement) back.focus();
  }
}

/**
 * @param {string} person
 * @param {string} path
 * @param {string} step
 */
function idOf(person, path, step) {
  return `${person}/${path}/${step}`;
}
