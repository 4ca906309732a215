import { button, make } from "./make.js";
import { WORDS } from "./words.js";

let made = 0;

/** Who is learning: chosen by name, for several people share one machine. It says as well when nothing can be kept. */
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
    const [people, person] = [await this.learning.people(), await this.learning.person()];
    this.#showTrouble();
    if (person && !this.#choosing) {
      const change = button(WORDS.change, () => this.#choose(), { "data-bench": "change-person" });
      this.#put(make("p", { class: "bench-person-now" }, `${WORDS.whoIs} `, make("strong", {}, person.name)), change);
      return;
    }
    const names = people.map((one) =>
      button(one.name, () => this.#chosen(one.id), { "data-person": one.id, "aria-pressed": String(one.id === person?.id) }),
    );
    const entry = make("input", { id: this.id, type: "text", autocomplete: "off", maxlength: 80, name: "new-person" });
    const add = make(
      "form",
      { class: "bench-person-add", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), void this.#add(entry, people)) },
      make("label", { for: this.id }, WORDS.newName),
      entry,
      make("button", { type: "submit" }, WORDS.addPerson),
    );
    this.#put(make("p", { class: "bench-person-who" }, WORDS.who), make("div", { class: "bench-person-names" }, ...names), add);
  }

  /** @param {...Node} nodes */
  #put(...nodes) {
    this.body.replaceChildren(...nodes);
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
    this.line.textContent = !name ? WORDS.noName : same ? WORDS.sameName(name) : "";
    if (!name || same) return entry.focus();
    this.#choosing = false;
    await this.learning.addPerson(name);
  }

  #showTrouble() {
    const { trouble } = this.learning.kept;
    this.trouble.hidden = trouble === null;
    if (trouble === null) return this.trouble.replaceChildren();
    const save = button(WORDS.save, () => void this.learning.save(), { "data-bench": "save-record" });
    this.trouble.replaceChildren(make("span", {}, WORDS.trouble[trouble]), " ", save);
  }
}
