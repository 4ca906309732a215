import { button, make } from "../page/make.js";
import { TEXTS } from "./placing-texts.js";

/**
 * @typedef {[number, number]} At in percent from the left and from the upper edge, one decimal at most
 * @typedef {{ place: (at: At) => void, move: (index: number, at: At) => void, leave: () => void, words: (index: number) => void }} Doing
 */

/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FINE = 0.1;
const MIDDLE = 50;

/** @param {number} percent */
const kept = (percent) => Number(Math.min(100, Math.max(0, percent)).toFixed(1));

/** The picture that is pointed at: a cross for the keys, and a mark for each call-out. */
export class Points {
  /** @type {At} */
  #cross = [MIDDLE, MIDDLE];
  /** The call-out that the next click moves. */
  #moving = -1;

  /**
   * @param {HTMLElement} frame
   * @param {HTMLElement} told says where a point is
   * @param {Doing} doing
   */
  constructor(frame, told, doing) {
    this.frame = frame;
    this.told = told;
    this.doing = doing;
    this.cross = /** @type {HTMLElement} */ (frame.querySelector("#cross"));
    this.marks = /** @type {HTMLElement} */ (frame.querySelector("#marks"));
    frame.addEventListener("click", (event) => this.#clicked(event));
    frame.addEventListener("keydown", (event) => this.#pressed(event));
    // The cross is for the keys: a click shows where it is by itself.
    frame.addEventListener("focus", () => (this.cross.hidden = !frame.matches(":focus-visible")));
    frame.addEventListener("blur", () => (this.cross.hidden = true));
    this.#put(this.cross, this.#cross);
  }

  /** @param {At[]} points */
  show(points) {
    this.#moving = -1;
    this.marks.replaceChildren(...points.map((at, index) => this.#mark(at, index)));
  }

  /** @param {number} index */
  moveNext(index) {
    this.mark(index)?.focus();
    this.#moving = index;
    this.told.textContent = TEXTS.moving(index + 1);
  }

  /** @param {number} index */
  mark(index) {
    return /** @type {HTMLElement | undefined} */ (this.marks.children[index]);
  }

  /**
   * @param {At} at
   * @param {number} index
   */
  #mark(at, index) {
    const number = index + 1;
    const mark = button("", () => {}, { class: "mark", "data-index": index, "aria-label": TEXTS.mark(number) });
    mark.append(make("span", { class: "number", "aria-hidden": "true" }, String(number)));
    mark.addEventListener("pointerdown", (event) => this.#dragged(event, mark, index));
    this.#put(mark, at);
    return mark;
  }

  /**
   * @param {HTMLElement} shown
   * @param {At} at
   */
  #put(shown, [across, down]) {
    shown.style.left = `${across}%`;
    shown.style.top = `${down}%`;
    shown.dataset.at = `${across} ${down}`;
    // The number stands towards the middle, as in the manual.
    shown.classList.toggle("from-right", across >= MIDDLE);
    shown.classList.toggle("from-below", down >= MIDDLE);
  }

  /**
   * @param {{ clientX: number, clientY: number }} event
   * @returns {At}
   */
  #at({ clientX, clientY }) {
    const box = this.frame.getBoundingClientRect();
    return [kept(((clientX - box.left) / box.width) * 100), kept(((clientY - box.top) / box.height) * 100)];
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    // Enter on a mark comes as a click without a place.
    if (event.detail === 0) return;
    const mark = /** @type {Element} */ (event.target).closest(".mark");
    if (this.#moving >= 0) this.#set(this.#moving, this.#at(event), true);
    else if (!mark) this.doing.place(this.#at(event));
  }

  /**
   * @param {PointerEvent} start
   * @param {HTMLElement} mark
   * @param {number} index
   */
  #dragged(start, mark, index) {
    if (this.#moving >= 0) return;
    const FEW = 4;
    let far = false;
    mark.setPointerCapture(start.pointerId);
    /** @param {PointerEvent} event */
    const follow = (event) => {
      // A press that trembles moves nothing.
      far ||= Math.abs(event.clientX - start.clientX) + Math.abs(event.clientY - start.clientY) > FEW;
      if (far) this.#set(index, this.#at(event), false);
    };
    mark.addEventListener("pointermove", follow);
    mark.addEventListener("lostpointercapture", () => mark.removeEventListener("pointermove", follow), { once: true });
  }

  /**
   * @param {number} index
   * @param {At} at
   * @param {boolean} isLast
   */
  #set(index, at, isLast) {
    if (isLast) this.#moving = -1;
    const mark = this.mark(index);
    if (mark) this.#put(mark, at);
    this.told.textContent = TEXTS.place(at);
    this.doing.move(index, at);
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const mark = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest(".mark"));
    const index = mark ? Number(mark.dataset.index) : -1;
    const arrow = ARROWS[event.key];
    if (arrow) {
      event.preventDefault();
      this.#step(mark, index, arrow, event.shiftKey ? FINE : 1);
    } else if (event.key === "Enter") {
      event.preventDefault();
      if (mark) this.doing.words(index);
      else this.doing.place(this.#cross);
    } else if (event.key === "Escape") {
      this.#moving = -1;
      this.told.textContent = "";
      this.doing.leave();
    }
  }

  /**
   * @param {HTMLElement | null} mark
   * @param {number} index
   * @param {[number, number]} arrow
   * @param {number} by
   */
  #step(mark, index, [right, down], by) {
    const shown = mark ?? this.cross;
    const from = (shown.dataset.at ?? "").split(" ").map(Number);
    /** @type {At} */
    const at = [kept((from[0] ?? 0) + right * by), kept((from[1] ?? 0) + down * by)];
    if (mark) return this.#set(index, at, true);
    this.#cross = at;
    this.cross.hidden = false;
    this.#put(this.cross, at);
    this.told.textContent = TEXTS.place(at);
  }
}
