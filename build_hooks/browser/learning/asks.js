import { make } from "../page/make.js";
import { nextControl, OrderList } from "./order-list.js";

/**
 * @typedef {{id: string, form: "choice" | "order" | "quantity", label: string, options?: {id: string, label: string}[], unit?: string}} AskData
 * @typedef {{id: string, element: HTMLElement, answer: () => unknown}} Ask one thing asked; its answer is undefined while there is none
 */

/**
 * @param {AskData} data
 * @param {string} prefix of the names of its controls
 * @param {(words: string) => void} say
 * @returns {Ask}
 */
export function askOf(data, prefix, say) {
  if (data.form === "order") {
    const list = new OrderList({ ...data, options: data.options ?? [] }, say);
    return { id: data.id, element: list.element, answer: () => list.answer() };
  }
  return data.form === "choice" ? choice(data, prefix) : quantity(data, prefix);
}

const SHORT = 24; // Characters: options that are shorter, but for one at most, are set side by side.

/**
 * @param {AskData} data
 * @param {string} prefix
 * @returns {Ask}
 */
function choice(data, prefix) {
  const options = data.options ?? [];
  const short = options.filter((option) => option.label.length >= SHORT).length <= (options.length > 4 ? 1 : 0);
  const rows = options.map((option, place) =>
    make(
      "label",
      {},
      make("input", { type: "radio", name: `${prefix}-${data.id}`, value: option.id, "aria-keyshortcuts": place < 9 ? place + 1 : undefined }),
      place < 9 && make("kbd", { class: "bench-key", "aria-hidden": "true" }, String(place + 1)),
      make("span", {}, option.label),
    ),
  );
  const element = make(
    "fieldset",
    { class: "bench-ask", "data-ask": data.id, onkeydown: (/** @type {KeyboardEvent} */ event) => chooseByNumber(event, element) },
    make("legend", {}, data.label),
    make("div", { class: short ? "bench-ask-options bench-ask-short" : "bench-ask-options" }, ...rows),
  );
  return {
    id: data.id,
    element,
    answer: () => {
      const chosen = element.querySelector("input:checked");
      return chosen instanceof HTMLInputElement ? chosen.value : undefined;
    },
  };
}

/**
 * The number of an option chooses it and goes on to what is asked next.
 *
 * @param {KeyboardEvent} event
 * @param {HTMLElement} asked
 */
function chooseByNumber(event, asked) {
  if (event.altKey || event.ctrlKey || event.metaKey || !/^[1-9]$/.test(event.key)) return;
  const option = asked.querySelectorAll("input")[Number(event.key) - 1];
  if (!option) return;
  event.preventDefault();
  event.stopPropagation();
  option.click();
  nextControl(asked)?.focus();
}

/**
 * @param {AskData} data
 * @param {string} prefix
 * @returns {Ask}
 */
function quantity(data, prefix) {
  const id = `${prefix}-${data.id}`;
  const input = make("input", { id, type: "text", inputmode: "decimal", autocomplete: "off" });
  const element = make(
    "div",
    { class: "bench-ask", "data-ask": data.id },
    make("label", { for: id }, data.label),
    make("span", { class: "bench-entry" }, input, make("span", { class: "bench-unit" }, data.unit ?? "")),
  );
  return {
    id: data.id,
    element,
    answer: () => {
      const typed = input.value.trim();
      if (!typed) return undefined;
      // A figure alone is in the unit shown in the entry.
      return /[a-z"”]\s*$/i.test(typed) ? typed : `${typed} ${data.unit ?? ""}`;
    },
  };
}
