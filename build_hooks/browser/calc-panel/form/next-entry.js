import { isEmpty, isText, liveEntriesOf } from "./entries.js";

/**
 * Where the next reading belongs: the next required entry that is empty, else the first one that was left out.
 *
 * @param {HTMLFormElement} form
 * @param {Element} from
 * @returns {HTMLInputElement | null} null when nothing is missing
 */
export function nextEmpty(form, from) {
  const wanted = liveEntriesOf(form).filter(isText).filter((entry) => !entry.readOnly && !("optionalField" in entry.dataset));
  const place = wanted.findIndex((entry) => entry === from);
  const [before, after] = [wanted.slice(0, Math.max(place, 0)), wanted.slice(place + 1)];
  return [...after, ...before].find(isEmpty) ?? null;
}

/** @param {HTMLFormElement} form */
export function hasReadings(form) {
  return typedReadings(form).length > 0;
}

/** @param {HTMLFormElement} form */
export function typedReadings(form) {
  return liveEntriesOf(form).filter(isText).filter((entry) => !entry.readOnly && entry.dataset.touched !== undefined && !isEmpty(entry));
}
