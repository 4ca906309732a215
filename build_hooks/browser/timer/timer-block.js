import { button, make } from "../page/make.js";
import { TEXTS } from "./timer-texts.js";
import { clockText, timeOfDay } from "./time-words.js";

/** A timer of the page: start, pause, go on, reset, and what is left. */
export class TimerBlock extends HTMLElement {
  /** Those of the browser, which the blocks of a page share. @type {import("./timers.js").Timers} */
  static timers;

  #listening = new AbortController();

  connectedCallback() {
    const { timers } = TimerBlock;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    for (const name of ["change", "tick"]) timers.addEventListener(name, () => this.#show(), { signal });
    if (!this.querySelector("[data-bench=timer-buttons]")) this.append(this.#buttons());
    this.#show();
  }

  disconnectedCallback() {
    this.#listening.abort();
  }

  #buttons() {
    const { timers } = TimerBlock;
    const press = (/** @type {string} */ name, /** @type {string} */ words, /** @type {() => void} */ act) =>
      button(words, act, { "data-press": name, "aria-label": `${words}: ${this.#title()}` });
    return make(
      "div",
      { class: "bench-timer-buttons", "data-bench": "timer-buttons" },
      press("start", TEXTS.start, () => this.#start()),
      press("pause", TEXTS.pause, () => timers.pause(this.#key())),
      press("go-on", TEXTS.goOn, () => timers.goOn(this.#key())),
      press("confirm", TEXTS.confirm, () => timers.confirm(this.#key())),
      press("reset", TEXTS.putBack, () => timers.remove(this.#key())),
    );
  }

  #start() {
    const { timers } = TimerBlock;
    timers.start(this.#key(), this.#title(), Number(this.dataset.minutes), location.href.split("#")[0] ?? "");
    const started = timers.get(this.#key());
    if (started) this.#say(TEXTS.started(started.title, timeOfDay(started.ends)));
  }

  #show() {
    const { timers } = TimerBlock;
    const timer = timers.get(this.#key());
    const state = timer ? timers.stateOf(timer) : "ready";
    if (this.dataset.state !== state && state === "ready") this.#say("");
    if (timer && state === "over" && this.dataset.state !== "over") this.#say(TEXTS.isOver(timer.title));
    if (state === "running" && !timers.isKept) this.#say(TEXTS.notKept);
    this.dataset.state = state;
    const left = this.querySelector("[data-bench=left]");
    if (left) left.replaceChildren(...(timer ? leftWords(timers, timer) : []));
    const shown = { ready: ["start"], running: ["pause", "reset"], paused: ["go-on", "reset"], over: ["reset"] }[state];
    for (const one of this.querySelectorAll("button[data-press]")) {
      if (!(one instanceof HTMLButtonElement)) continue;
      const name = one.dataset.press ?? "";
      hide(one, !(shown.includes(name) || (name === "confirm" && state === "over" && timer?.heard === false)));
    }
  }

  /** @param {string} words */
  #say(words) {
    const line = this.querySelector("[data-bench=state]");
    if (line && line.textContent !== words) line.textContent = words;
  }

  #title() {
    return this.dataset.title ?? "";
  }

  #key() {
    return TimerBlock.timers.keyOf(`${location.pathname}#${this.id}`);
  }
}

/**
 * What is said of a timer: a word for its state, what is left, and the time of day.
 *
 * @param {import("./timers.js").Timers} timers
 * @param {import("./timers.js").Timer} timer
 * @returns {HTMLElement[]}
 */
export function leftWords(timers, timer) {
  if (timer.left !== null) {
    return [make("strong", {}, TEXTS.paused), make("span", { class: "bench-timer-clock" }, TEXTS.left(clockText(timer.left)))];
  }
  if (timers.stateOf(timer) === "running") {
    return [
      make("strong", {}, TEXTS.running),
      make("span", { class: "bench-timer-clock" }, TEXTS.left(clockText(timers.left(timer)))),
      make("span", {}, TEXTS.endsAt(timeOfDay(timer.ends))),
    ];
  }
  const over = [make("strong", {}, TEXTS.over), make("span", { class: "bench-timer-clock" }, TEXTS.overSince(timeOfDay(timer.ends)))];
  if (timer.found !== null && timers.wasMissed(timer)) over.push(make("span", {}, TEXTS.missed(timeOfDay(timer.found))));
  return over;
}

/**
 * Hides a button; the focus goes to the one that takes its place.
 *
 * @param {HTMLButtonElement} one
 * @param {boolean} hidden
 */
function hide(one, hidden) {
  const hadFocus = hidden && one === document.activeElement;
  one.hidden = hidden;
  if (hadFocus) queueMicrotask(() => /** @type {HTMLElement | null} */ (one.parentElement?.querySelector("button:not([hidden])"))?.focus());
}
