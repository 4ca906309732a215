import { button, make } from "../page/make.js";
import { TEXTS } from "./gears-texts.js";

/** The gear set in one gear at a time: a button for each gear, and the arrow keys. Without it all gears stand below each other. */
export class Gears extends HTMLElement {
  #at = 0;

  connectedCallback() {
    if (this.querySelector("[data-bench=gear-buttons]")) return;
    const gears = this.#gears();
    const buttons = gears.map((gear, at) =>
      button(gear.dataset.gear ?? "", () => this.#show(at), { "aria-controls": gear.id, "aria-label": TEXTS.gear(gear.dataset.gear ?? "") }),
    );
    this.prepend(
      make("div", { class: "bench-gear-buttons", "data-bench": "gear-buttons", role: "group", "aria-label": TEXTS.choose }, ...buttons),
      make("p", { class: "bench-gear-hint" }, TEXTS.hint),
    );
    this.addEventListener("keydown", (event) => this.#press(event));
    const asked = gears.findIndex((gear) => `#${gear.id}` === location.hash);
    this.#show(Math.max(asked, 0));
  }

  /** @param {KeyboardEvent} event */
  #press(event) {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    // A drawing wider than its frame is moved sideways with the same keys.
    const inFrame = event.target instanceof Element && event.target.closest(".bench-gear-frame");
    if (!by || inFrame || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    const last = this.#gears().length - 1;
    this.#show(Math.min(Math.max(this.#at + by, 0), last));
    this.#buttons()[this.#at]?.focus();
  }

  /** @param {number} at */
  #show(at) {
    this.#at = at;
    this.#gears().forEach((gear, index) => (gear.hidden = index !== at));
    this.#buttons().forEach((one, index) => {
      one.setAttribute("aria-pressed", String(index === at));
      one.tabIndex = index === at ? 0 : -1;
    });
  }

  #gears() {
    return /** @type {HTMLElement[]} */ ([...this.querySelectorAll(".bench-gear")]);
  }

  #buttons() {
    return /** @type {HTMLButtonElement[]} */ ([...this.querySelectorAll("[data-bench=gear-buttons] button")]);
  }
}

/** Makes the gears of a page move. */
export function defineGears() {
  if (!customElements.get("bench-gears")) customElements.define("bench-gears", Gears);
}
