import { button, make } from "../page/make.js";
import { TEXTS } from "./learning-texts.js";

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/**
 * Cards to be put in order by picking them, the first one first: one press each, or the letter of a card. A press on a card that is
 * placed takes back that one and those after it; Backspace takes back the last one.
 */
export class OrderList {
  /** @type {string[]} ids of the cards picked so far */
  #picked = [];

  /**
   * @param {{id: string, label: string, options: {id: string, label: string}[]}} ask
   * @param {(words: string) => void} say
   */
  constructor(ask, say) {
    this.ask = ask;
    this.say = say;
    this.order = make("ol", { class: "bench-order", "aria-label": TEXTS.placed });
    this.undo = button(TEXTS.takeLastBack, () => this.#back(this.#picked.length - 1), { class: "bench-order-undo", "data-bench": "undo" });
    this.pool = make("ul", { class: "bench-pool", "aria-label": TEXTS.toPlace });
    this.element = make(
      "fieldset",
      { class: "bench-ask", "data-ask": ask.id },
      make("legend", {}, ask.label),
      make("p", { class: "bench-help" }, TEXTS.orderHelp),
      // What is still to place comes first: so it stays where it is while the order grows below it.
      this.pool,
      this.undo,
      this.order,
    );
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.#show();
  }

  /** @returns {string[] | undefined} the ids in the order they were picked; undefined while there are none */
  answer() {
    return this.#picked.length ? [...this.#picked] : undefined;
  }

  #show() {
    this.order.replaceChildren(...this.#picked.map((id, place) => this.#placed(id, place)));
    this.pool.replaceChildren(...this.ask.options.filter(({ id }) => !this.#picked.includes(id)).map(({ id }) => this.#waiting(id)));
    this.undo.disabled = this.#picked.length === 0;
  }

  /**
   * @param {string} id
   * @param {number} place
   */
  #placed(id, place) {
    const number = make("span", { class: "bench-order-number" }, String(place + 1));
    const words = make("span", { class: "bench-order-label" }, this.#label(id));
    return make("li", { "data-card": id }, pressed(() => this.#back(place), { "aria-label": TEXTS.takeBackFrom(place + 1, this.#label(id)) }, number, words));
  }

  /** @param {string} id */
  #waiting(id) {
    const letter = LETTERS[this.ask.options.findIndex((option) => option.id === id)];
    const words = make("span", { class: "bench-order-label" }, this.#label(id));
    const key = letter && make("kbd", { class: "bench-key", "aria-hidden": "true" }, letter);
    return make("li", { "data-card": id }, pressed(() => this.#pick(id), { "aria-keyshortcuts": letter }, key, words));
  }

  /** @param {string} id */
  #label(id) {
    return this.ask.options.find((option) => option.id === id)?.label ?? "";
  }

  /** @param {string} id */
  #pick(id) {
    const at = this.#cards().findIndex((card) => card.dataset.card === id);
    this.#picked.push(id);
    this.#show();
    const left = this.#cards();
    const next = left[Math.min(at, left.length - 1)]?.querySelector("button") ?? nextControl(this.element);
    next?.focus({ preventScroll: left.length > 0 });
    this.say(TEXTS.placedAs(this.#label(id), this.#picked.length, this.ask.options.length));
  }

  /** @param {number} place from which on the cards go back */
  #back(place) {
    if (place < 0) return;
    const [first = ""] = this.#picked.splice(place);
    this.#show();
    this.#cards().find((card) => card.dataset.card === first)?.querySelector("button")?.focus({ preventScroll: true });
    this.say(TEXTS.tookBack(this.#picked.length, this.ask.options.length));
  }

  #cards() {
    return /** @type {HTMLElement[]} */ (Array.from(this.pool.children));
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const named = this.ask.options[LETTERS.indexOf(event.key.toUpperCase())];
    const isLetter = event.key.length === 1 && named !== undefined;
    if (!isLetter && event.key !== "Backspace") return;
    // The page around has letters of its own, for its search.
    event.preventDefault();
    event.stopPropagation();
    if (!isLetter) this.#back(this.#picked.length - 1);
    else if (!this.#picked.includes(named.id)) this.#pick(named.id);
  }
}

/**
 * @param {() => void} onclick
 * @param {import("../page/make.js").Given} more
 * @param {(Node | string | undefined)[]} children
 */
function pressed(onclick, more, ...children) {
  return make("button", { type: "button", onclick, ...more }, ...children);
}

/**
 * The first control of what is asked next, or the button that marks.
 *
 * @param {HTMLElement} asked
 * @returns {HTMLElement | null}
 */
export function nextControl(asked) {
  const next = asked.nextElementSibling?.querySelector("input, button");
  return next instanceof HTMLElement ? next : null;
}
