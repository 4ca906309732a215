import { isFromOtherForm, markFromOtherForm } from "./from-other-form.js";
import { entriesOf, isText } from "./entries.js";
import { listLengths, setListLength } from "./list-rows.js";
import { mappingRows, setMappingRows } from "./mapping-rows.js";
import { keepTyped } from "./typed-amount.js";
import { setUnit } from "./units-choice.js";

/** @typedef {import("./entries.js").Entry} Entry */
/**
 * @typedef {{name: string, value: string, unit?: string, typed?: string, carried?: string, touched?: boolean}} StoredEntry `carried` says from which
 *   form a value came; the name is that of readings stored by earlier editions
 */

/**
 * @typedef {object} StoredReadings what was typed into a form
 * @property {Record<string, number>} lists
 * @property {StoredEntry[]} entries
 * @property {Record<string, [string, string][]>} mappings
 */

/**
 * @param {HTMLFormElement} form
 * @returns {StoredReadings}
 */
export function readingsOf(form) {
  const mappings = mappingsOf(form).map((mapping) => [mapping.dataset.field ?? "", mappingRows(mapping)]);
  const entries = entriesOf(form).filter((entry) => !(isText(entry) && entry.readOnly) && entry.type !== "hidden");
  return { lists: listLengths(form), entries: entries.map(storedEntry), mappings: Object.fromEntries(mappings) };
}

/**
 * Puts readings back. What the form no longer has is passed over: the manual may be another edition.
 *
 * @param {HTMLFormElement} form
 * @param {StoredReadings} readings
 */
export function putBack(form, readings) {
  for (const [field, length] of Object.entries(readings.lists)) setListLength(form, field, length);
  const entries = entriesOf(form);
  for (const one of readings.entries) {
    const same = entries.filter((entry) => entry.name === one.name);
    for (const entry of same) putInto(entry, one);
  }
  for (const mapping of mappingsOf(form)) setMappingRows(mapping, readings.mappings[mapping.dataset.field ?? ""] ?? []);
}

/**
 * @param {unknown} value
 * @returns {value is StoredReadings}
 */
export function isStoredReadings(value) {
  const { lists, entries, mappings } = /** @type {Partial<StoredReadings>} */ (value ?? {});
  return (
    valuesOf(lists)?.every((length) => Number.isInteger(length) && Number(length) >= 0) === true &&
    Array.isArray(entries) && entries.every(isStoredEntry) &&
    valuesOf(mappings)?.every((rows) => Array.isArray(rows) && rows.every(isRow)) === true
  ); // prettier-ignore
}

/**
 * @param {unknown} value
 * @returns {unknown[] | null} null for what is no object
 */
function valuesOf(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? Object.values(value) : null;
}

/** @param {unknown} value */
function isStoredEntry(value) {
  const { name, value: text, unit = "", typed = "", carried = "" } = /** @type {Partial<StoredEntry>} */ (value ?? {});
  return [name, text, unit, typed, carried].every((one) => typeof one === "string");
}

/** @param {unknown} value */
function isRow(value) {
  return Array.isArray(value) && value.length === 2 && value.every((one) => typeof one === "string");
}

/**
 * @param {Entry} entry
 * @returns {StoredEntry}
 */
function storedEntry(entry) {
  const tick = entry instanceof HTMLInputElement && (entry.type === "checkbox" || entry.type === "radio");
  return {
    name: entry.name,
    value: tick ? (entry.checked ? entry.value : "") : entry.value,
    ...(entry.dataset.unit ? { unit: entry.dataset.unit } : {}),
    ...(entry.dataset.typed ? { typed: entry.dataset.typed } : {}),
    ...(entry.dataset.fromOtherForm ? { carried: entry.dataset.fromOtherForm } : {}),
    ...(entry.dataset.touched ? { touched: true } : {}),
  };
}

/**
 * @param {Entry} entry
 * @param {StoredEntry} one
 */
function putInto(entry, one) {
  if (one.touched) entry.dataset.touched = "true";
  if (entry instanceof HTMLInputElement && entry.type === "checkbox") entry.checked = one.value !== "";
  else if (entry instanceof HTMLInputElement && entry.type === "radio") entry.checked ||= entry.value === one.value;
  else if (!isText(entry) || !entry.readOnly) entry.value = one.value;
  if (!isText(entry)) return;
  if (one.unit && one.value.trim() !== "") setUnit(entry, one.unit);
  keepTyped(entry, one.typed ?? "");
  if (one.carried || isFromOtherForm(entry)) markFromOtherForm(entry, one.carried ?? "");
}

/** @param {HTMLFormElement} form */
function mappingsOf(form) {
  return Array.from(form.querySelectorAll("[data-bench=mapping]")).filter((one) => one instanceof HTMLElement);
}
