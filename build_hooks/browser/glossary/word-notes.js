/**
 * One note for all the words of a page. A word is a link to the glossary; the note is a tooltip as WAI-ARIA describes it, and keeps
 * to success criterion 1.4.13 of WCAG 2.2: Escape puts it away, the pointer may rest on it, and it stays as long as it is wanted.
 */

import { headerBottom } from "../page/theme.js";
import { placeOf } from "./place.js";

const WORD = "a.bench-word";
// A pointer on its way elsewhere opens nothing; one on its way to the note does not lose it.
const REST = 150;
const GRACE = 250;

export class WordNotes {
  /** @param {Document} page */
  constructor(page) {
    this.page = page;
    /** @type {HTMLAnchorElement | null} the word whose note is shown */
    this.word = null;
    /** @type {HTMLAnchorElement | null} the word whose note was shown when the press began */
    this.shownAtPress = null;
    this.pressed = false;
    this.timer = 0;
    this.note = this.makeNote();
  }

  /** Begins to listen. Everything is heard at the document, so a word may come into the page at any time. */
  listen() {
    this.page.addEventListener("pointerover", (event) => this.pointerOver(event));
    this.page.addEventListener("pointerout", (event) => this.pointerOut(event));
    this.page.addEventListener("pointerdown", (event) => this.press(event));
    this.page.addEventListener("click", (event) => this.click(event));
    this.page.addEventListener("focusin", (event) => this.focusIn(event));
    this.page.addEventListener("focusout", () => this.hide());
    this.page.addEventListener("keydown", (event) => this.key(event));
    window.addEventListener("resize", () => {
      if (this.word !== null) this.place(this.word);
    });
  }

  makeNote() {
    const note = this.page.createElement("div");
    note.className = "bench-word-note";
    note.id = "bench-word-note";
    note.setAttribute("role", "tooltip");
    note.hidden = true;
    return note;
  }

  /**
   * @param {EventTarget | null} target
   * @returns {HTMLAnchorElement | null}
   */
  wordAt(target) {
    const found = target instanceof Element ? target.closest(WORD) : null;
    return found instanceof HTMLAnchorElement ? found : null;
  }

  /** @param {PointerEvent} event */
  pointerOver(event) {
    if (event.pointerType === "touch") return;
    const word = this.wordAt(event.target);
    if (word === null && !this.isNote(event.target)) return;
    window.clearTimeout(this.timer);
    if (word !== null && word !== this.word) this.timer = window.setTimeout(() => this.show(word), REST);
  }

  /** @param {PointerEvent} event */
  pointerOut(event) {
    if (event.pointerType === "touch" || (this.wordAt(event.target) === null && !this.isNote(event.target))) return;
    window.clearTimeout(this.timer);
    if (this.word !== null && this.word === this.page.activeElement) return;
    this.timer = window.setTimeout(() => this.hide(), GRACE);
  }

  /** @param {PointerEvent} event */
  press(event) {
    this.pressed = true;
    this.shownAtPress = this.word;
    if (this.wordAt(event.target) === null && !this.isNote(event.target)) this.hide();
  }

  /**
   * The first press shows the note, the next follows the link. The Enter key always follows it: the note is there by then.
   *
   * @param {MouseEvent} event
   */
  click(event) {
    const word = this.wordAt(event.target);
    const byPointer = this.pressed;
    this.pressed = false;
    if (word === null || !byPointer || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (this.shownAtPress === word) return;
    event.preventDefault();
    this.show(word);
  }

  /** @param {FocusEvent} event */
  focusIn(event) {
    const word = this.wordAt(event.target);
    if (word !== null) this.show(word);
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    this.pressed = false;
    if (event.key === "Escape") this.hide();
  }

  /** @param {EventTarget | null} target */
  isNote(target) {
    return target instanceof Node && this.note.contains(target);
  }

  /** @param {HTMLAnchorElement} word */
  show(word) {
    window.clearTimeout(this.timer);
    if (this.word === word) return;
    this.hide();
    const name = this.page.createElement("strong");
    name.textContent = word.dataset.word ?? "";
    this.note.replaceChildren(name, ` ${word.dataset.meaning ?? ""}`);
    // In the page's main part, so that it belongs to a landmark for who steps from one to the next.
    const home = word.closest("main") ?? this.page.body;
    if (this.note.parentElement !== home) home.append(this.note);
    this.note.hidden = false;
    word.setAttribute("aria-describedby", this.note.id);
    this.word = word;
    this.place(word);
  }

  /** @param {HTMLAnchorElement} word */
  place(word) {
    // A word that is broken over two lines has a box for each.
    const line = word.getClientRects()[0] ?? word.getBoundingClientRect();
    const view = this.page.documentElement;
    const { left, top } = placeOf(
      line,
      { width: this.note.offsetWidth, height: this.note.offsetHeight },
      { width: view.clientWidth, height: view.clientHeight },
      headerBottom(this.page),
    );
    // Whatever it is placed from: where it lies at 0, 0 tells.
    this.note.style.left = "0";
    this.note.style.top = "0";
    const origin = this.note.getBoundingClientRect();
    this.note.style.left = `${left - origin.left}px`;
    this.note.style.top = `${top - origin.top}px`;
  }

  hide() {
    window.clearTimeout(this.timer);
    if (this.word === null) return;
    this.word.removeAttribute("aria-describedby");
    this.word = null;
    this.note.hidden = true;
  }
}
