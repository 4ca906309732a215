import { addItem, removeItem } from "./list-rows.js";
import { addMappingRow } from "./mapping-rows.js";

/**
 * Does what a button of a list or mapping is for, and puts the focus where a reader goes on.
 *
 * @param {HTMLElement} button
 * @returns {boolean} whether it was such a button
 */
export function pressRowButton(button) {
  const around = button.parentElement;
  const item = button.closest("[data-bench=item]");
  if (button.dataset.bench === "remove" && item instanceof HTMLElement) focusIn(removeItem(item));
  else if (button.dataset.bench !== "add" || !around) return false;
  else focusIn(around.dataset.bench === "mapping" ? addMappingRow(around) : addItem(around));
  return true;
}

/** @param {HTMLElement | null} part */
function focusIn(part) {
  const first = part?.querySelector("input, select");
  if (first instanceof HTMLElement) first.focus();
}
