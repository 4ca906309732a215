import { button, make } from "../page/make.js";
import { leftWords } from "./timer-block.js";
import { TEXTS } from "./timer-texts.js";

/** The timers that were started, on every page: what is left, and a way to the page that each belongs to. */
export class TimerList {
  /**
   * @param {import("./timers.js").Timers} timers
   * @param {HTMLElement} place that the list is put at the end of
   */
  constructor(timers, place) {
    this.timers = timers;
    this.alert = make("p", { class: "bench-timer-alert", role: "alert" });
    this.silence = make("p", { class: "bench-timer-silence" });
    this.items = make("ul", {});
    this.box = make("aside", { class: "bench-timers", "aria-label": TEXTS.list, "data-bench": "timers", hidden: true }, this.alert, this.items, this.silence);
    place.append(this.box);
    /** @type {Map<string, HTMLElement>} */
    this.shown = new Map();
    for (const name of ["change", "tick"]) timers.addEventListener(name, () => this.show());
    this.show();
  }

  show() {
    const timers = this.timers.all();
    this.box.hidden = timers.length === 0;
    // What the list covers at the foot of the page can be scrolled to.
    document.documentElement.style.setProperty("--bench-timers", `${this.box.offsetHeight}px`);
    const keys = new Set(timers.map((timer) => timer.key));
    for (const [key, item] of this.shown) if (!keys.has(key)) this.#drop(key, item);
    for (const timer of timers) this.#update(timer);
    const due = this.timers.due();
    const words = due.map((timer) => TEXTS.isOver(timer.title)).join(" ");
    if (this.alert.textContent !== words) this.alert.textContent = words;
    if (due.length === 0) this.isSilent(false);
  }

  /** @param {boolean} silent whether the browser refused to play the sound */
  isSilent(silent) {
    const words = silent ? TEXTS.silent : "";
    if (this.silence.textContent !== words) this.silence.textContent = words;
  }

  /** @param {import("./timers.js").Timer} timer */
  #update(timer) {
    const item = this.shown.get(timer.key) ?? this.#add(timer);
    item.dataset.state = this.timers.stateOf(timer);
    item.querySelector("[data-bench=left]")?.replaceChildren(...leftWords(this.timers, timer));
    const [confirm, remove] = item.querySelectorAll("button");
    if (confirm) confirm.hidden = item.dataset.state !== "over" || timer.heard;
    if (remove) remove.hidden = item.dataset.state !== "over" || !timer.heard;
  }

  /** @param {import("./timers.js").Timer} timer */
  #add({ key, title, page, owner }) {
    const item = make(
      "li",
      {},
      make("a", { href: `${page}${key.slice(key.indexOf("#")).split("@")[0]}` }, owner ? `${owner}: ${title}` : title),
      make("span", { class: "bench-timer-left", "data-bench": "left" }),
      button(TEXTS.confirm, () => this.timers.confirm(key), { "aria-label": `${TEXTS.confirm}: ${title}` }),
      button(TEXTS.putBack, () => this.timers.remove(key), { "aria-label": `${TEXTS.putBack}: ${title}` }),
    );
    this.items.append(item);
    this.shown.set(key, item);
    return item;
  }

  /**
   * @param {string} key
   * @param {HTMLElement} item
   */
  #drop(key, item) {
    item.remove();
    this.shown.delete(key);
  }
}
