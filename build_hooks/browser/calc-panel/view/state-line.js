import { TEXTS } from "../panel-texts.js";

/** The status line of a panel. It is announced, so it is short and never repeats itself. */
export class StateLine {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /**
   * @param {HTMLElement} line
   * @param {() => void} retry
   */
  constructor(line, retry) {
    this.line = line;
    this.button = document.createElement("button");
    this.button.type = "button";
    this.button.setAttribute("data-bench", "retry");
    this.button.textContent = TEXTS.retry;
    this.button.addEventListener("click", retry);
  }

  /**
   * @param {string} words
   * @param {object} [how]
   * @param {number} [how.after] milliseconds to wait first, for texts that may change again at once
   * @param {boolean} [how.canRetry]
   */
  say(words, { after = 0, canRetry = false } = {}) {
    clearTimeout(this.#timer);
    if (canRetry) this.line.after(this.button);
    else this.button.remove();
    if (after > 0) this.#timer = setTimeout(() => this.#put(words), after);
    else this.#put(words);
  }

  /** @param {string} words */
  #put(words) {
    if (this.line.textContent !== words) this.line.textContent = words;
  }
}
