import { button, make } from "../page/make.js";
import { TEXTS } from "./learning-texts.js";

/** Cards to be put in order: by dragging, by the buttons of each card, or by picking one up with Enter and moving it with the arrow keys. */
export class OrderList {
  /** @type {HTMLElement | null} the card that is picked up */
  #held = null;

  /**
   * @param {{id: string, label: string, options: {id: string, label: string}[]}} ask
   * @param {(words: string) => void} say
   */
  constructor(ask, say) {
    this.ask = ask;
    this.say = say;
    this.list = make("ol", { class: "bench-order" }, ...ask.options.map((option) => this.#card(option)));
    this.element = make(
      "fieldset",
      { class: "bench-ask", "data-ask": ask.id },
      make("legend", {}, ask.label),
      make("p", { class: "bench-help" }, TEXTS.orderHelp),
      this.list,
    );
    this.list.addEventListener("keydown", (event) => this.#key(event));
    this.#number();
  }

  /** @returns {string[]} the ids in the order they lie */
  answer() {
    return this.#cards().map((card) => card.dataset.card ?? "");
  }

  #cards() {
    return /** @type {HTMLElement[]} */ (Array.from(this.list.children));
  }

  /** @param {{id: string, label: string}} option */
  #card({ id, label }) {
    const card = make("li", { "data-card": id });
    const grip = make("span", { class: "bench-order-grip", "aria-hidden": "true" });
    const hold = button(label, () => this.#pick(card), { class: "bench-order-label", "aria-pressed": "false" });
    card.append(
      grip,
      hold,
      button("▲", () => this.#step(card, -1, "up"), { class: "bench-order-step", "aria-label": TEXTS.up(label), "data-step": "up" }),
      button("▼", () => this.#step(card, 1, "down"), { class: "bench-order-step", "aria-label": TEXTS.down(label), "data-step": "down" }),
    );
    grip.addEventListener("pointerdown", (event) => this.#drag(event, card, grip));
    return card;
  }

  /**
   * @param {HTMLElement} card
   * @param {1 | -1} way
   * @param {"up" | "down" | "label"} keep the control that keeps the focus
   */
  #step(card, way, keep) {
    const other = way === -1 ? card.previousElementSibling : card.nextElementSibling;
    if (!other) return;
    // The other is moved: the card keeps the focus.
    if (way === -1) card.after(other);
    else card.before(other);
    this.#number();
    const control = card.querySelector(keep === "label" ? ".bench-order-label" : `[data-step=${keep}]`);
    if (control instanceof HTMLElement) {
      control.focus();
      control.scrollIntoView({ block: "nearest" });
    }
    this.#sayWhere(card);
  }

  /** @param {HTMLElement} card */
  #pick(card) {
    const held = this.#held;
    this.#drop();
    if (held === card) return this.say(TEXTS.putDown(labelOf(card), this.#cards().indexOf(card) + 1));
    this.#held = card;
    card.classList.add("bench-order-held");
    card.querySelector(".bench-order-label")?.setAttribute("aria-pressed", "true");
    this.say(TEXTS.pickedUp(labelOf(card)));
  }

  #drop() {
    this.#held?.classList.remove("bench-order-held");
    this.#held?.querySelector(".bench-order-label")?.setAttribute("aria-pressed", "false");
    this.#held = null;
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const card = event.target instanceof Element ? event.target.closest("li") : null;
    if (!(card instanceof HTMLElement)) return;
    const way = event.key === "ArrowUp" ? -1 : event.key === "ArrowDown" ? 1 : 0;
    if (this.#held === card && way !== 0) {
      event.preventDefault();
      this.#step(card, way, "label");
    } else if (this.#held === card && event.key === "Escape") {
      event.preventDefault();
      this.#pick(card);
    } else if (event.altKey && way !== 0) {
      event.preventDefault();
      this.#step(card, way, "label");
    }
  }

  /**
   * @param {PointerEvent} event
   * @param {HTMLElement} card
   * @param {HTMLElement} grip
   */
  #drag(event, card, grip) {
    event.preventDefault();
    this.#drop();
    grip.setPointerCapture(event.pointerId);
    card.classList.add("bench-order-held");
    /** @param {PointerEvent} moved */
    const move = (moved) => {
      const over = this.#cards().find((other) => {
        const { top, bottom } = other.getBoundingClientRect();
        return other !== card && moved.clientY >= top && moved.clientY <= bottom;
      });
      if (!over) return;
      // The other is moved: a card that is taken out of the page, however briefly, loses the pointer.
      if (over.compareDocumentPosition(card) & Node.DOCUMENT_POSITION_FOLLOWING) card.after(over);
      else card.before(over);
      this.#number();
    };
    const end = () => {
      grip.removeEventListener("pointermove", move);
      card.classList.remove("bench-order-held");
      this.#sayWhere(card);
    };
    grip.addEventListener("pointermove", move);
    grip.addEventListener("lostpointercapture", end, { once: true });
  }

  #number() {
    for (const [index, card] of this.#cards().entries()) {
      const grip = card.querySelector(".bench-order-grip");
      if (grip) grip.textContent = String(index + 1);
    }
  }

  /** @param {HTMLElement} card */
  #sayWhere(card) {
    this.say(TEXTS.movedTo(labelOf(card), this.#cards().indexOf(card) + 1, this.#cards().length));
  }
}

/** @param {HTMLElement} card */
function labelOf(card) {
  return card.querySelector(".bench-order-label")?.textContent ?? "";
}
