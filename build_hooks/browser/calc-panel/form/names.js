import { namesIn } from "./form-request.js";

/**
 * A name was ticked, or its tick taken away: the entry behind the ticks holds those that are ticked.
 *
 * @param {HTMLInputElement} tick
 */
export function takeName(tick) {
  const names = tick.dataset.bench === "name" ? tick.closest("[data-bench=names]") : null;
  const entry = names ? entryBehind(names) : null;
  if (!names || !entry) return;
  entry.value = ticksOf(names).filter(({ checked }) => checked).map(({ value }) => value).join(", "); // prettier-ignore
  entry.dataset.touched = "true";
}

/**
 * Ticks the names that the entries behind them hold.
 *
 * @param {HTMLFormElement} form
 */
export function showNames(form) {
  for (const names of form.querySelectorAll("[data-bench=names]")) {
    const held = namesIn(entryBehind(names)?.value ?? "");
    for (const tick of ticksOf(names)) tick.checked = held.includes(tick.value);
  }
}

/** @param {Element} names */
function entryBehind(names) {
  const entry = names.parentElement?.querySelector("[data-kind=names]");
  return entry instanceof HTMLInputElement ? entry : null;
}

/** @param {Element} names */
function ticksOf(names) {
  return Array.from(names.querySelectorAll("input")).filter((tick) => tick instanceof HTMLInputElement);
}
