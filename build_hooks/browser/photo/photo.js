import { button, make } from "../page/make.js";
import { TEXTS } from "./photo-texts.js";

const SIZES = 4;

/** A picture that opens large, with its numbers. Without scripts the link opens the picture alone. */
export class Photo extends HTMLElement {
  #size = 2;
  /** @type {HTMLDialogElement | undefined} */
  #dialog;

  connectedCallback() {
    this.querySelector("[data-bench=photo-large]")?.addEventListener("click", (event) => {
      event.preventDefault();
      this.#open();
    });
  }

  #open() {
    this.#dialog ??= this.#made();
    this.#show(2);
    this.#dialog.showModal();
  }

  #made() {
    const frame = /** @type {HTMLElement} */ (this.querySelector(".bench-photo-frame")).cloneNode(true);
    const caption = this.querySelector("figcaption")?.textContent ?? "";
    const dialog = /** @type {HTMLDialogElement} */ (
      make(
        "dialog",
        { class: "bench-photo-dialog", "data-bench": "photo-dialog", "aria-label": caption },
        make(
          "div",
          { class: "bench-photo-tools" },
          button(TEXTS.smaller, () => this.#show(this.#size - 1), { "data-bench": "photo-smaller" }),
          button(TEXTS.larger, () => this.#show(this.#size + 1), { "data-bench": "photo-larger" }),
          button(TEXTS.close, () => dialog.close(), { "data-bench": "photo-close" }),
        ),
        make("div", { class: "bench-photo-room", tabindex: "0", role: "group", "aria-label": TEXTS.room }, frame),
      )
    );
    this.append(dialog);
    return dialog;
  }

  /** @param {number} size */
  #show(size) {
    this.#size = Math.min(Math.max(size, 1), SIZES);
    const room = /** @type {HTMLElement} */ (this.#dialog?.querySelector(".bench-photo-room"));
    room.dataset.size = String(this.#size);
    /** @type {[string, boolean][]} */
    const ends = [["smaller", this.#size === 1], ["larger", this.#size === SIZES]];
    for (const [name, isEnd] of ends) {
      const end = /** @type {HTMLButtonElement} */ (this.#dialog?.querySelector(`[data-bench=photo-${name}]`));
      end.disabled = isEnd;
    }
  }
}

export function definePhotos() {
  if (!customElements.get("bench-photo")) customElements.define("bench-photo", Photo);
}
