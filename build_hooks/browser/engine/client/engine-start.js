import { whenQuiet } from "../../page/when-quiet.js";

/**
 * Starts the engine when a page has a calculation: after the first paint, when the browser has nothing better to do,
 * or at once when a reader turns to the form. A page without one never starts it.
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
  whenQuiet(begin);
}
