import { Sound } from "./sound.js";
import { TimerBlock } from "./timer-block.js";
import { TimerList } from "./timer-list.js";
import { Timers } from "./timers.js";

const TICK = 250; // Milliseconds: no second is skipped on the clock.
const EVERY = 4000; // Milliseconds from one sound to the next, until somebody confirms.
const SOUNDED = "timers-sounded";

/**
 * Makes the timers of a page work, and shows those that were started on other pages.
 *
 * @param {import("../page/store.js").Store} store
 * @param {HTMLElement} [place] that the list of timers is put at the end of
 * @returns {Timers}
 */
export function runTimers(store, place = document.body) {
  const timers = new Timers(store);
  TimerBlock.timers = timers;
  if (!customElements.get("bench-timer")) customElements.define("bench-timer", TimerBlock);
  const list = new TimerList(timers, place);
  const sound = new Sound(() => timers.all().length > 0);
  const ring = async () => {
    // Of several pages only one sounds: whichever comes to it first.
    const before = Number(store.get(SOUNDED));
    if (timers.now() < before + EVERY) return;
    store.set(SOUNDED, timers.now());
    const heard = await sound.play();
    if (!heard) store.set(SOUNDED, before); // Another page may be able to.
    list.isSilent(!heard);
  };
  const tick = () => {
    timers.look();
    timers.dispatchEvent(new Event("tick"));
    if (timers.due().length > 0) void ring();
  };
  /** @type {ReturnType<typeof setInterval> | undefined} */
  let clock;
  // A page without timers has nothing to look for.
  const settle = () => {
    const isWanted = timers.all().length > 0;
    if (isWanted) clock ??= setInterval(tick, TICK);
    else clock = void clearInterval(clock);
  };
  timers.addEventListener("change", settle);
  // Another page has started or stopped one.
  window.addEventListener("storage", () => timers.dispatchEvent(new Event("change")));
  settle();
  return timers;
}
