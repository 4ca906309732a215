import { holderOf, isPlace } from "./dotted-path.js";
import { inUnusedGroup, isEmpty, isText, liveEntriesOf } from "./entries.js";
import { nameItems } from "./named-items.js";
import { typedIn } from "./typed-amount.js";

/** @typedef {import("./entries.js").Entry} Entry */

/**
 * The request that a form makes: what the page gives, overridden by what was typed. No figure is ever read
 * here, they are all passed on as text.
 *
 * @param {HTMLFormElement} form
 * @param {string} units `metric` or `inch`
 * @returns {Record<string, any>}
 */
export function requestOf(form, units) {
  const request = presetOf(form);
  for (const entry of liveEntriesOf(form)) {
    if (!inUnusedGroup(entry)) lay(request, entry);
  }
  for (const mapping of form.querySelectorAll("[data-bench=mapping]")) {
    if (mapping instanceof HTMLElement && !mapping.closest("[hidden]")) layMapping(request, mapping);
  }
  nameItems(request, form);
  request.units = units;
  return request;
}

/**
 * @param {HTMLFormElement} form
 * @returns {Record<string, any>}
 */
export function presetOf(form) {
  return JSON.parse(form.querySelector("script[data-bench=preset]")?.textContent || "{}");
}

/**
 * @param {Record<string, any>} request
 * @param {Entry} entry
 */
function lay(request, entry) {
  const [holder, name] = holderOf(request, entry.name);
  const value = valueOf(entry);
  if (value !== undefined) holder[name] = value;
}

/**
 * @param {Entry} entry
 * @returns {string | string[] | boolean | undefined} undefined to leave it out
 */
function valueOf(entry) {
  const optional = "optionalField" in entry.dataset;
  if (entry instanceof HTMLInputElement && entry.type === "checkbox") {
    return optional && !entry.dataset.touched ? undefined : entry.checked;
  }
  if (entry instanceof HTMLInputElement && entry.type === "radio" && !entry.checked) return undefined;
  const typed = entry.value.trim();
  if (entry.dataset.kind === "names") return optional && typed === "" ? undefined : namesIn(typed);
  if (typed === "") return !optional && isText(entry) && isInList(entry.name) ? "" : undefined;
  return entry.dataset.kind === "amount" ? typedIn(entry) : typed;
}

/**
 * @param {string} typed names with commas between them
 * @returns {string[]}
 */
export function namesIn(typed) {
  return typed.split(",").map((name) => name.trim()).filter(Boolean); // prettier-ignore
}

/** @param {string} path */
function isInList(path) {
  return isPlace(path.split(".").at(-1) ?? "");
}

/**
 * @param {Record<string, any>} request
 * @param {HTMLElement} mapping
 */
function layMapping(request, mapping) {
  const keys = Array.from(mapping.querySelectorAll("[data-map=key]")).filter(isText);
  const values = mapping.querySelectorAll("[data-map=value]");
  const pairs = keys.flatMap((key, at) => {
    const value = values[at];
    // The choices are written by the build as JSON: 1 and -1.
    return isEmpty(key) || !(value instanceof HTMLSelectElement) ? [] : [[key.value.trim(), JSON.parse(value.value)]];
  });
  if (pairs.length === 0) return;
  const [holder, name] = holderOf(request, mapping.dataset.field ?? "");
  holder[name] = Object.fromEntries(pairs);
}
