import { walkByArrows } from "../page/arrows.js";
import { BenchExercise } from "./exercise.js";
import { toldTo } from "./learning.js";
import { lettersChoice } from "./letters.js";
import { button, make } from "../page/make.js";
import { PersonBar } from "./person-bar.js";
import { TEXTS } from "./learning-texts.js";

/**
 * @typedef {{id: string, name: string, packs: {id: string, name: string, kinds: string[]}[]}} UnitOffer
 * @typedef {{units: UnitOffer[], kinds: {id: string, title: string, about: string}[]}} Offers
 */

/** Practice of anything: what is due today, or unit, pack and kind by choice. */
export class BenchPractice extends HTMLElement {
  #ready = false;
  /** @type {Record<string, string>} */
  #asked = {};

  connectedCallback() {
    if (this.#ready) return;
    this.#ready = true;
    /** @type {Offers} */
    this.offers = toldTo(this, "offers");
    /** @type {import("./progress.js").Path[]} */
    this.paths = toldTo(this)?.paths ?? [];
    const letters = lettersChoice(BenchExercise.learning.store, toldTo(this)?.screens ?? []);
    this.#asked = Object.fromEntries(new URLSearchParams(location.search));
    const { learning } = BenchExercise;
    this.dueList = make("section", { class: "bench-due", "data-bench": "due" });
    this.choices = make("details", { class: "bench-practice-choice" }, make("summary", {}, TEXTS.choose), make("div"));
    this.choices.open = !this.#asked.kind; // Whoever comes from a path finds the exercise at once.
    this.stage = make("div", { class: "bench-practice-stage" });
    this.replaceChildren(new PersonBar(learning).element, this.dueList, this.choices, this.stage, letters);
    walkByArrows(this);
    this.#showChoices();
    if (this.#asked.unit && this.#asked.pack && this.#asked.kind) this.#start();
    learning.addEventListener("change", () => void this.#showDue());
    void this.#showDue();
  }

  async #showDue() {
    const { learning } = BenchExercise;
    const person = await learning.person();
    const due = person ? await learning.due(person).catch(() => null) : null;
    if (!this.dueList) return;
    if (!person) return this.dueList.replaceChildren();
    if (!due) return this.dueList.replaceChildren(make("h2", {}, TEXTS.due), make("p", {}, TEXTS.dueUnknown));
    const items = due.exercises.map((exercise) =>
      make("li", {}, `${this.#nameOf(exercise)} `, button(TEXTS.practise, () => this.#review(exercise), { "data-bench": "review" })),
    );
    this.dueList.replaceChildren(
      make("h2", {}, TEXTS.due),
      make("p", {}, items.length ? TEXTS.dueAbout : `${TEXTS.dueNone} ${TEXTS.dueAbout}`),
      due.refused ? make("p", { "data-bench": "refused-cards" }, TEXTS.refusedCards(due.refused)) : "",
      make("ul", {}, ...items),
    );
  }

  /** @param {import("./learning.js").Exercise} exercise */
  #nameOf({ kind, unit, pack }) {
    const found = this.offers?.units.find(({ id }) => id === unit);
    const title = this.offers?.kinds.find(({ id }) => id === kind)?.title ?? kind;
    return `${title}: ${found?.name ?? unit}, ${found?.packs.find(({ id }) => id === pack)?.name ?? pack}`;
  }

  #showChoices() {
    const offers = this.offers;
    if (!offers || !this.choices) return;
    const unit = offers.units.find(({ id }) => id === this.#asked.unit);
    const pack = unit?.packs.find(({ id }) => id === this.#asked.pack);
    const kinds = offers.kinds.filter(({ id }) => pack?.kinds.includes(id));
    const groups = [
      this.#group("unit", TEXTS.chooseUnit, offers.units.map(({ id, name }) => ({ id, label: name }))),
      unit && this.#group("pack", TEXTS.choosePack, unit.packs.filter((one) => one.kinds.length).map(({ id, name }) => ({ id, label: name }))),
      pack && this.#group("kind", TEXTS.chooseKind, kinds.map(({ id, title, about }) => ({ id, label: title, about }))),
    ];
    this.choices.lastElementChild?.replaceChildren(...groups.filter((group) => group !== undefined));
  }

  /**
   * @param {"unit" | "pack" | "kind"} name
   * @param {string} title
   * @param {{id: string, label: string, about?: string}[]} options
   */
  #group(name, title, options) {
    const buttons = options.map(({ id, label, about }) =>
      button(label, () => this.#choose(name, id), { "data-choice": id, "aria-pressed": String(this.#asked[name] === id), title: about }),
    );
    return make("fieldset", { class: "bench-chips", "data-group": name }, make("legend", {}, title), ...buttons);
  }

  /**
   * @param {"unit" | "pack" | "kind"} name
   * @param {string} id
   */
  #choose(name, id) {
    const order = /** @type {const} */ (["unit", "pack", "kind"]);
    const kept = order.slice(0, order.indexOf(name)).map((key) => [key, this.#asked[key] ?? ""]);
    // What was asked for a step of a path is another matter than what is chosen here.
    this.#asked = { ...Object.fromEntries(kept), [name]: id };
    this.#showChoices();
    this.stage?.replaceChildren();
    const chosen = this.choices?.querySelector(`[data-group=${name}] [data-choice="${CSS.escape(id)}"]`);
    if (chosen instanceof HTMLElement) chosen.focus();
    if (name === "kind") this.#start();
  }

  #start() {
    const { unit = "", pack = "", kind = "", count = "5", set = "", path = "", step = "" } = this.#asked;
    const edition = this.paths?.find(({ id }) => id === path)?.edition ?? "";
    this.#stage({ unit, pack, kind, count, set, path, step, edition });
  }

  /** @param {import("./learning.js").Exercise} exercise */
  #review({ unit, pack, kind, seed }) {
    this.#stage({ unit, pack, kind, seed: String(seed) });
  }

  /** @param {Record<string, string>} asked */
  #stage(asked) {
    const exercise = document.createElement("bench-exercise");
    exercise.className = "bench-learning";
    for (const [name, value] of Object.entries({ ...asked, person: "elsewhere" })) if (value) exercise.dataset[name] = value;
    const { kind = "", unit = "", pack = "" } = asked;
    exercise.append(make("p", { class: "bench-exercise-title" }, this.#nameOf({ kind, unit, pack, seed: 0 })));
    this.stage?.replaceChildren(exercise);
    exercise.scrollIntoView({ block: "nearest" });
  }
}
