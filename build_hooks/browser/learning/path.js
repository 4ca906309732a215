import { now, today } from "../records/keys.js";
import { walkByArrows } from "../page/arrows.js";
import { toldTo } from "./learning.js";
import { lettersChoice } from "./letters.js";
import { afterPress } from "../page/after-press.js";
import { button, make } from "../page/make.js";
import { PersonBar } from "./person-bar.js";
import { pinFits } from "./pin.js";
import { doneBy, stateOf, unfinishedNeeds } from "./progress.js";
import { linkForFolder } from "./links.js";
import { TEXTS } from "./learning-texts.js";

/**
 * @typedef {import("./progress.js").StepState} StepState
 * @typedef {{name: string, pin?: string}} Senior somebody who may sign; with a PIN, as a hash, if the shop wants one
 */

/** A path as a person goes along it: what is done, what is next, what has changed, and the senior's name under each task. */
export class BenchPath extends HTMLElement {
  /** @type {import("./learning.js").Learning} */
  static learning;
  /** @type {import("./progress.js").Path[]} */
  paths = [];
  /** @type {Senior[]} */
  seniors = [];
  #ready = false;

  connectedCallback() {
    const told = toldTo(this);
    if (this.#ready || !told) return;
    this.#ready = true;
    this.paths = told.paths;
    this.seniors = told.seniors;
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
        this.#put(item, null, person, null);
      }
      return;
    }
    const done = await doneBy(BenchPath.learning.records, person.id);
    afterPress(() => this.#showDone(path, standing, person, done));
  }

  /**
   * @param {import("./progress.js").Path} path
   * @param {HTMLElement} standing
   * @param {import("./learning.js").Person} person
   * @param {Awaited<ReturnType<typeof doneBy>>} done
   */
  #showDone(path, standing, person, done) {
    const state = stateOf(path, done);
    const needs = unfinishedNeeds(path, this.paths, done);
    standing.replaceChildren(...this.#standing(state, needs));
    for (const needed of this.querySelectorAll("[data-needs]")) this.#showNeed(/** @type {HTMLElement} */ (needed), done);
    for (const item of this.#items()) {
      const found = state.steps.find(({ step }) => step.id === item.dataset.step) ?? null;
      this.#markNext(item, needs.length === 0 && found?.step === state.next);
      this.#put(item, found, person, needs.length > 0 ? null : beforeIn(state, found));
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
   * @param {import("./learning.js").Person | null} person
   * @param {import("./progress.js").Step[] | null} before steps that are not done yet and come before this one; null on a path that waits for another
   */
  #put(item, found, person, before) {
    const place = item.querySelector(".bench-step-state");
    // What is being typed here stays.
    if (!place || (place.contains(document.activeElement) && document.activeElement instanceof HTMLInputElement)) return;
    item.dataset.state = found?.state ?? "";
    place.replaceChildren(...(found && person ? this.#state(item, found, person, before) : []));
  }

  /**
   * @param {HTMLElement} item
   * @param {StepState} found
   * @param {import("./learning.js").Person} person
   * @param {import("./progress.js").Step[] | null} before
   */
  #state(item, found, person, before) {
    const { step, state, record, right } = found;
    const again = state === "again" && make("p", { class: "bench-step-again" }, `${TEXTS.doAgain}: ${TEXTS.olderEdition(record?.edition ?? this.path?.editions[0] ?? "")}`);
    if (step.form === "practice") return [again || "", make("p", {}, TEXTS.rightOf(right, step.practice?.count ?? 0))];
    if (state === "done") {
      const words = step.form === "page" ? TEXTS.readOn(record.on) : TEXTS.seenOn(this.#nameOf(record.senior), record.on);
      return [make("p", {}, words, " ", button(TEXTS.takeBack, () => void this.#takeBack(step, record), { class: "bench-quiet" }))];
    }
    if (step.form === "page") {
      const page = item.querySelector(".bench-step-what a");
      const opened = page instanceof HTMLAnchorElement && BenchPath.learning.opened.had(person.id, page.href, record?.at);
      const read = button(TEXTS.haveRead, () => void this.#read(step), { disabled: before === null || !opened, "data-bench": "have-read" });
      return [again || "", read, opened ? "" : make("p", { class: "bench-step-waits" }, TEXTS.openFirst)];
    }
    const open = () => {
      const form = this.#signForm(item, step, person);
      place?.replaceChildren(form);
      form.querySelector("input")?.focus();
    };
    const place = item.querySelector(".bench-step-state");
    const waits = before?.length ? make("p", { class: "bench-step-waits" }, TEXTS.signAfter(before.map(({ title }) => title))) : "";
    return [again || "", button(TEXTS.openSign, open, { disabled: before === null || Boolean(waits), "data-bench": "open-sign" }), waits];
  }

  /**
   * A name as it is shown: one that the shop does not name as a senior, or no longer, is shown as such.
   *
   * @param {string} name
   */
  #nameOf(name) {
    return seniorNamed(this.seniors, name) ? name : TEXTS.notNamed(name);
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
   * @param {import("./learning.js").Person} person
   */
  #signForm(item, step, person) {
    const fault = make("p", { class: "bench-sign-fault", role: "status" });
    const others = this.seniors.filter(({ name }) => plain(name) !== plain(person.name));
    if (others.length === 0) return make("div", { class: "bench-sign" }, make("p", {}, TEXTS.noOther));
    const pin = make("input", { id: `${step.id}-pin`, type: "password", inputmode: "numeric", autocomplete: "off", maxlength: 12 });
    const pinLine = make("span", { hidden: true, class: "bench-sign-pin" }, make("label", { for: pin.id }, TEXTS.pin), pin);
    const names = others.map((senior) =>
      make(
        "label",
        {},
        make("input", { type: "radio", name: `${step.id}-senior`, value: senior.name, onchange: () => void (pinLine.hidden = !senior.pin) }),
        make("span", {}, senior.name),
      ),
    );
    const form = make(
      "form",
      { class: "bench-sign", "data-bench": "sign", novalidate: true },
      make("fieldset", { class: "bench-sign-names" }, make("legend", {}, TEXTS.senior), make("div", { class: "bench-ask-options bench-ask-short" }, ...names)),
      pinLine,
      make("p", { class: "bench-sign-day" }, TEXTS.signedToday(today())),
      make("button", { type: "submit" }, TEXTS.sign),
      fault,
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.#sign(item, step, form, { pin, fault });
    });
    return form;
  }

  /**
   * @param {HTMLElement} item
   * @param {import("./progress.js").Step} step
   * @param {HTMLFormElement} form
   * @param {{pin: HTMLInputElement, fault: HTMLElement}} parts
   */
  async #sign(item, step, form, { pin, fault }) {
    const { learning } = BenchPath;
    const person = await learning.person();
    if (!person || !this.path) return;
    const chosen = form.querySelector("input:checked");
    const senior = chosen instanceof HTMLInputElement && seniorNamed(this.seniors, chosen.value);
    // The person may have changed since the form was opened.
    const own = senior && plain(senior.name) === plain(person.name);
    const isTheirs = senior && (!senior.pin || pinFits(pin.value.trim(), senior.pin));
    const words = !senior ? TEXTS.noSenior : own ? TEXTS.ownTask : isTheirs ? "" : TEXTS.wrongPin;
    fault.textContent = words;
    if (words === TEXTS.wrongPin) pin.value = "";
    if (words || !senior) return (words === TEXTS.wrongPin ? pin : form.querySelector("input"))?.focus();
    const value = { ...this.#done(person.id, step), senior: senior.name };
    if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
    await learning.records.put([{ kind: "signed", id: value.id, value }]);
    const back = item.querySelector("button");
    if (back instanceof HTMLElement) back.focus();
  }
}

/**
 * The steps that are not done and come before one.
 *
 * @param {import("./progress.js").PathState} state
 * @param {StepState | null} found
 */
function beforeIn({ steps }, found) {
  return steps.slice(0, found ? steps.indexOf(found) : 0).flatMap(({ step, state }) => (state === "done" ? [] : [step]));
}

/**
 * @param {Senior[]} seniors
 * @param {string} name
 */
export function seniorNamed(seniors, name) {
  return seniors.find((senior) => plain(senior.name) === plain(name));
}

/** @param {string} name */
function plain(name) {
  return name.trim().replace(/\s+/g, " ").toLowerCase();
}

/**
 * @param {string} person
 * @param {string} path
 * @param {string} step
 */
function idOf(person, path, step) {
  return `${person}/${path}/${step}`;
}
