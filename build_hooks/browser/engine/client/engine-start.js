import { afterPaint } from "../../page/when-quiet.js";

/**
 * Starts the engine when a page has a calculation: after the first paint, or at once when a reader turns to the form.
 * A page without one never starts it. It does not wait until the page's own thread has nothing to do: the engine has a thread
 * of its own, and on a long page that thread would begin a quarter of a second later.
 *
 * @param {() => void} start may be called more than once
 */
export function startWhenQuiet(start) {
  const begin = () => {
    if (!document.querySelector("bench-calc")) return;
    start();
    document.removeEventListener("focusin", early);
    document.removeEventListener("input", early);
  };
  /** @param {Event} event */
  const early = ({ target }) => {
    if (target instanceof Element && target.closest("bench-calc")) begin();
  };
  document.addEventListener("focusin", early);
  document.addEventListener("input", early);
  afterPaint(begin);
}
