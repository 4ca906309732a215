import { afterPress } from "../page/after-press.js";
import { button, make } from "../page/make.js";
import { TEXTS } from "./learning-texts.js";

let made = 0;

/** Who is learning: chosen by name, as several people share one machine. It also shows when nothing can be stored. */
export class PersonBar {
  #choosing = false;

  /** @param {import("./learning.js").Learning} learning */
  constructor(learning) {
    this.learning = learning;
    this.id = `bench-person-${++made}`;
    this.element = make("div", { class: "bench-person", "data-bench": "person" });
    this.trouble = make("p", { class: "bench-trouble", role: "status", "data-bench": "kept-trouble", hidden: true });
    this.line = make("p", { class: "bench-person-fault", role: "status" });
    this.body = make("div");
    this.element.append(this.trouble, this.body, this.line);
    learning.addEventListener("change", () => void this.show());
    learning.addEventListener("trouble", () => this.#showTrouble());
    void this.show();
  }

  async show() {
    const [people, person, other] = [await this.learning.people(), await this.learning.person(), await this.learning.chosenElsewhere()];
    this.#showTrouble();
    if (person && !this.#choosing) {
      const change = button(TEXTS.change, () => this.#choose(), { "data-bench": "change-person" });
      const now = make("p", { class: "bench-person-now" }, `${TEXTS.whoIs} `, make("strong", {}, person.name));
      this.#put(now, change, ...(other ? [this.#elsewhere(other, person)] : []));
      return;
    }
    const names = people.map((one) =>
      button(one.name, () => this.#chosen(one.id), { "data-person": one.id, "aria-pressed": String(one.id === person?.id) }),
    );
    const entry = make("input", { id: this.id, type: "text", autocomplete: "off", maxlength: 80, name: "new-person" });
    const add = make(
      "form",
      { class: "bench-person-add", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), void this.#add(entry, people)) },
      make("label", { for: this.id }, TEXTS.newName),
      entry,
      make("button", { type: "submit" }, TEXTS.addPerson),
    );
    this.#put(make("p", { class: "bench-person-who" }, TEXTS.who), make("div", { class: "bench-person-names" }, ...names), add);
  }

  /** @param {...Node} nodes */
  #put(...nodes) {
    afterPress(() => this.body.replaceChildren(...nodes));
  }

  #choose() {
    this.#choosing = true;
    void this.show().then(() => {
      const first = this.body.querySelector("button, input");
      if (first instanceof HTMLElement) first.focus();
    });
  }

  /** @param {string} id */
  #chosen(id) {
    this.#choosing = false;
    this.line.textContent = "";
    this.learning.choose(id);
  }

  /**
   * @param {HTMLInputElement} entry
   * @param {import("./learning.js").Person[]} people
   */
  async #add(entry, people) {
    const name = entry.value.trim().replace(/\s+/g, " ");
    const same = people.some((person) => person.name.toLowerCase() === name.toLowerCase());
    this.line.textContent = !name ? TEXTS.noName : same ? TEXTS.sameName(name) : "";
    if (!name || same) return entry.focus();
    this.#choosing = false;
    await this.learning.addPerson(name);
  }

  /**
   * @param {import("./learning.js").Person} other
   * @param {import("./learning.js").Person} person
   */
  #elsewhere(other, person) {
    const change = button(TEXTS.switchTo(other.name), () => this.#chosen(other.id), { "data-bench": "follow-person" });
    return make("p", { class: "bench-person-elsewhere", role: "status" }, `${TEXTS.elsewhere(other.name, person.name)} `, change);
  }

  #showTrouble() {
    const { trouble, aside } = this.learning.records;
    const lines = [];
    if (trouble !== null) {
      const save = button(TEXTS.save, () => void this.learning.save(), { "data-bench": "save-record" });
      lines.push(make("span", {}, TEXTS.trouble[trouble]), " ", save);
    }
    if (aside.length) {
      const save = button(TEXTS.saveAside, () => this.learning.saveAside(), { "data-bench": "save-aside" });
      const remove = button(TEXTS.removeAside, () => void this.learning.records.removeAside(), { "data-bench": "remove-aside" });
      lines.push(make("span", { "data-bench": "aside" }, TEXTS.aside(aside.length)), " ", save, " ", remove);
    }
    this.trouble.hidden = lines.length === 0;
    this.trouble.replaceChildren(...lines);
  }
}
