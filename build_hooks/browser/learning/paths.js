import { walkByArrows } from "../page/arrows.js";
import { toldTo } from "./learning.js";
import { lettersChoice } from "./letters.js";
import { linkForFolder } from "./links.js";
import { make } from "../page/make.js";
import { PersonBar } from "./person-bar.js";
import { doneBy, stateOf, unfinishedNeeds } from "./progress.js";
import { TEXTS } from "./learning-texts.js";

/** Every path with what is done of it and what is next, and what is due today. */
export class BenchPaths extends HTMLElement {
  /** @type {import("./learning.js").Learning} */
  static learning;
  #ready = false;

  connectedCallback() {
    const told = toldTo(this);
    if (this.#ready || !told) return;
    this.#ready = true;
    /** @type {import("./progress.js").Path[]} */
    this.paths = told.paths;
    const { learning } = BenchPaths;
    this.dueLine = make("p", { class: "bench-due-line", "data-bench": "due" });
    this.querySelector(".bench-needs-script")?.replaceWith(new PersonBar(learning).element, this.dueLine);
    for (const link of this.querySelectorAll("a")) linkForFolder(link);
    this.append(lettersChoice(learning.store, told.screens));
    walkByArrows(this);
    learning.addEventListener("change", () => void this.#show());
    void this.#show();
  }

  async #show() {
    const { learning } = BenchPaths;
    const person = await learning.person();
    for (const item of this.querySelectorAll(".bench-path-state")) item.remove();
    this.dueLine?.replaceChildren();
    if (!person) return;
    const done = await doneBy(learning.records, person.id);
    for (const card of this.querySelectorAll("li[data-path]")) {
      const path = this.paths?.find(({ id }) => id === /** @type {HTMLElement} */ (card).dataset.path);
      if (path) card.append(this.#standing(path, done));
    }
    const due = (await learning.due(person).catch(() => null))?.exercises ?? [];
    if (!this.dueLine || due.length === 0) return;
    const link = make("a", { href: "practice/" }, `${TEXTS.due}: ${due.length}`);
    linkForFolder(link);
    this.dueLine.replaceChildren(link);
  }

  /**
   * @param {import("./progress.js").Path} path
   * @param {Awaited<ReturnType<typeof doneBy>>} done
   */
  #standing(path, done) {
    const state = stateOf(path, done);
    const needs = unfinishedNeeds(path, this.paths ?? [], done);
    const count = state.steps.length;
    const again = state.steps.filter((step) => step.state === "again").length;
    const words = [state.done === 0 ? TEXTS.noneDone(count) : state.next ? TEXTS.done(state.done, count) : TEXTS.allDone];
    if (needs.length) words.push(TEXTS.needsFirst(needs.map((needed) => needed.path.name).join(", ")));
    else if (state.next) words.push(TEXTS.nextIs(state.next.title));
    if (again) words.push(TEXTS.againSteps(again));
    return make(
      "div",
      { class: "bench-path-state" },
      make("progress", { max: count, value: state.done, "aria-label": TEXTS.done(state.done, count) }),
      ...words.map((said) => make("p", {}, said)),
    );
  }
}
