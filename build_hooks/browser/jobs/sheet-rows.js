import { fieldsOf, listOf, wordsOf } from "./noted.js";

/**
 * The lines of a build sheet from an answer as it was noted. Requests and results are named as the engine's contract has them, which is
 * fixed: what is noted today is read in years to come. Figures are those that were shown; nothing is worked out here.
 *
 * @typedef {import("../records/job-entries.js").Entry} Entry
 * @typedef {object} MeasuredRow a clearance or end play
 * @property {string} what
 * @property {string} pack ids of unit and pack, where one size of its own sets it; else empty
 * @property {string} readings
 * @property {string} exact the clearance as the engine gave it
 * @property {{min: string, max: string}} bounds the limits as the engine was given them
 * @property {string} size of the part that sets it; empty where none does
 * @property {string} clearance as shown, with its uncertainty
 * @property {string} limits with where they are from
 * @property {string} verdict
 * @property {"" | "out" | "uneven" | "expected"} mark why it does not count as within its limits
 */

/**
 * @param {Entry} answer
 * @returns {MeasuredRow[]} none for an answer that measures no clearance
 */
export function measuredRows(answer) {
  const { request, result, shown, sources, form } = answer;
  if (Array.isArray(request.packs) && Array.isArray(request.trials)) return packRows(answer);
  if (!fieldsOf(request.limits).min || typeof result.clearance !== "string") return [];
  return [
    {
      what: answer.title,
      pack: /^pack-clearance ([^/ ]+\/[^/ ]+)\//.exec(form)?.[1] ?? "",
      readings: readingsText(request),
      exact: result.clearance,
      bounds: boundsOf(request.limits),
      size: typeof request.fitted === "string" ? request.fitted : "",
      clearance: withUncertainty(shown.clearance, shown.uncertainty),
      limits: wordsOf(sources[""]) || limitsText(request.limits),
      verdict: capital(wordsOf(shown.verdict)),
      mark: markOf(result),
    },
  ];
}

/**
 * @param {Entry} answer
 * @returns {MeasuredRow[]}
 */
function packRows({ title, request, result, shown, sources }) {
  return request.packs.flatMap((/** @type {unknown} */ given) => {
    const pack = fieldsOf(given);
    const name = wordsOf(pack.name);
    const state = ownOf(result.packs, name);
    const row = listOf(shown.packs).map(fieldsOf).find((one) => Object.values(one)[0] === name);
    if (!state || !row) return [];
    const readings = ownOf(fieldsOf(request.trials[Number(state.trial) - 1]).readings, name) ?? {};
    return [
      {
        what: `${title}: ${name}`,
        pack: "", // The sizes of a drum touch several packs.
        readings: `${readingsText(readings)}${request.trials.length > 1 ? ` (trial ${wordsOf(state.trial)} of ${request.trials.length})` : ""}`,
        exact: wordsOf(state.clearance),
        bounds: boundsOf(pack.limits),
        size: sizeThatSets(name, request),
        clearance: withUncertainty(row.Clearance, row.Uncertainty),
        limits: wordsOf(fieldsOf(sources)[name]) || limitsText(pack.limits),
        verdict: capital(wordsOf(row.Verdict)),
        mark: markOf(state),
      },
    ];
  });
}

/**
 * @param {Record<string, any>} judged a result, or what one says of a pack
 * @returns {MeasuredRow["mark"]}
 */
function markOf({ even, stale, verdict }) {
  if (even === false) return "uneven";
  if (verdict !== "in") return "out";
  return stale ? "expected" : "";
}

/**
 * Which sizes are fitted, with the thickness that was measured.
 *
 * @param {Entry} answer
 * @returns {string[]}
 */
export function fittedParts({ request }) {
  const { fitted } = fieldsOf(listOf(request.trials).at(-1));
  if (fitted) {
    const parts = Object.entries(fieldsOf(fitted)).map(([place, part]) => ({ place, id: wordsOf(fieldsOf(part).id), measured: wordsOf(fieldsOf(part).measured) }));
    return parts.map(({ place, id, measured }) => `${place}: ${id}${measured ? `, measured ${measured}` : ""}`);
  }
  return typeof request.fitted === "string" ? [request.fitted] : [];
}

/**
 * @param {string} pack
 * @param {Record<string, any>} request
 * @returns {string} the size that is fitted where only this pack is set, else in the first place that touches it
 */
function sizeThatSets(pack, { positions, trials }) {
  const touching = listOf(positions).map(fieldsOf).filter((place) => Object.hasOwn(fieldsOf(place.effect), pack));
  const own = touching.find((place) => Object.keys(fieldsOf(place.effect)).length === 1) ?? touching[0];
  return wordsOf(ownOf(fieldsOf(listOf(trials).at(-1)).fitted, wordsOf(own?.name))?.id);
}

/** A table of the engine has its verdicts in small letters, a panel has not. @param {string} words */
function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** @param {unknown} limits */
function boundsOf(limits) {
  const { min, max } = fieldsOf(limits);
  return { min: wordsOf(min), max: wordsOf(max) };
}

/** @param {Record<string, any>} readings */
function readingsText(readings) {
  const lists = ["lifts", "leaves", "to_plate", "to_ring", "readings"].map((name) => listOf(readings[name])).filter((list) => list.length > 0);
  return lists.map((list) => list.map((one) => (Array.isArray(one) ? one.map(wordsOf).join(" + ") : wordsOf(one))).join("; ")).join(" less ");
}

/** @param {unknown} limits */
function limitsText(limits) {
  const { min, max } = fieldsOf(limits);
  return `${wordsOf(min)} to ${wordsOf(max)}`;
}

/**
 * @param {unknown} fields
 * @param {string} name
 * @returns {Record<string, any> | undefined} nothing of what every object has
 */
function ownOf(fields, name) {
  const value = Object.hasOwn(fieldsOf(fields), name) ? fieldsOf(fields)[name] : undefined;
  return typeof value === "object" && value !== null ? value : undefined;
}

/**
 * @param {unknown} clearance
 * @param {unknown} uncertainty
 */
function withUncertainty(clearance, uncertainty) {
  return [clearance, uncertainty].map(wordsOf).filter(Boolean).join(" ± ");
}
