import { button, make } from "../../page/make.js";
import { makeNode } from "../../page/node-maker.js";
import { TEXTS } from "../panel-texts.js";

/** @typedef {import("./trials.js").EarlierTrial} EarlierTrial */

/**
 * A trial that is over, folded: what was fitted, what was read, what was answered.
 *
 * @param {EarlierTrial} earlier
 * @param {number} number
 * @param {HTMLElement} box the trial of the form, which knows what its parts are called
 * @param {(() => void) | null} goBack takes it up again; null where a later one exists
 */
export function earlierTrial({ trial, panel }, number, box, goBack) {
  const fitted = Object.entries(trial[box.dataset.fitted ?? ""] ?? {});
  const readings = Object.entries(trial[box.dataset.readings ?? ""] ?? {});
  return make(
    "details",
    { class: "bench-earlier-trial", "data-bench": "earlier-trial" },
    make("summary", {}, TEXTS.earlierTrial(number)),
    make(
      "ul",
      {},
      ...fitted.map(([place, part]) => make("li", {}, `${place}: ${part.id}${part.measured ? `, ${TEXTS.measured(part.measured)}` : ""}`)),
      ...readings.map(([pack, read]) => make("li", {}, `${pack}: ${readingsText(read)}`)),
    ),
    panel && makeNode(panel),
    goBack && button(TEXTS.goBackTo(number), goBack),
  );
}

/**
 * Beside each pack: what was read of it in an earlier trial, struck where a part has been changed since, and whether it is due.
 *
 * @param {HTMLElement} box
 * @param {EarlierTrial[]} earlier
 * @param {Record<string, any>} result the answer of the engine
 */
export function showEarlierReadings(box, earlier, result) {
  for (const pack of box.querySelectorAll("[data-bench=pack]")) {
    const line = pack.querySelector("[data-bench=earlier-reading]");
    if (!(pack instanceof HTMLElement) || !(line instanceof HTMLElement)) continue;
    const name = pack.dataset.pack ?? "";
    const state = result.packs?.[name];
    const read = state && earlier[state.trial - 1]?.trial[box.dataset.readings ?? ""]?.[name];
    pack.dataset.asked = String([...(result.measure ?? []), ...(result.reseat ?? []), ...(result.check ?? [])].includes(name));
    line.hidden = !read;
    if (!read) continue;
    const said = TEXTS.readIn(state.trial, readingsText(read));
    line.replaceChildren(state.stale ? make("s", {}, said) : said, state.stale ? ` ${TEXTS.stale}` : ` ${TEXTS.stillCounts}`);
  }
}

/**
 * @param {Record<string, any>} read the readings of a pack, as the engine was asked
 * @returns {string} as they were typed
 */
function readingsText(read) {
  const lists = Object.values(read).filter(Array.isArray);
  return lists.map((list) => list.map(oneReading).join(", ")).join(` ${TEXTS.less} `);
}

/** @param {any} reading */
function oneReading(reading) {
  if (Array.isArray(reading)) return reading.join(" + ");
  return typeof reading === "string" ? reading : Object.values(reading).join(" ");
}
