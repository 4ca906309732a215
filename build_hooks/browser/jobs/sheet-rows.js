/**
 * The lines of a build sheet from an answer as it was noted. Requests and results are named as the engine's contract has them, which is
 * fixed: what is noted today is read in years to come. Figures are those that were shown; nothing is worked out here.
 *
 * @typedef {import("../records/job-entries.js").Entry} Entry
 * @typedef {object} MeasuredRow a clearance or end play
 * @property {string} what
 * @property {string} readings
 * @property {string} exact the clearance as the engine gave it
 * @property {{min: string, max: string}} bounds the limits as the engine was given them
 * @property {string} size of the part that sets it; empty where none does
 * @property {string} clearance as shown, with its uncertainty
 * @property {string} limits with where they are from
 * @property {string} verdict
 * @property {boolean} isOut whether it is not within its limits
 */

/**
 * @param {Entry} answer
 * @returns {MeasuredRow[]} none for an answer that measures no clearance
 */
export function measuredRows(answer) {
  const { request, result, shown, sources } = answer;
  if (Array.isArray(request.packs) && Array.isArray(request.trials)) return packRows(answer);
  if (!request.limits || typeof result.clearance !== "string") return [];
  return [
    {
      what: answer.title,
      readings: readingsText(request),
      exact: result.clearance,
      bounds: request.limits,
      size: typeof request.fitted === "string" ? request.fitted : "",
      clearance: withUncertainty(shown.clearance, shown.uncertainty),
      limits: sources[""] ?? limitsText(request.limits),
      verdict: String(shown.verdict ?? ""),
      isOut: result.verdict !== "in",
    },
  ];
}

/**
 * @param {Entry} answer
 * @returns {MeasuredRow[]}
 */
function packRows({ title, request, result, shown, sources }) {
  return request.packs.flatMap((/** @type {any} */ pack) => {
    const state = result.packs?.[pack.name];
    const row = Array.isArray(shown.packs) ? shown.packs.find((/** @type {any} */ one) => Object.values(one)[0] === pack.name) : undefined;
    if (!state || !row) return [];
    const trial = request.trials[state.trial - 1];
    const only = state.stale ? " (only expected: not measured since the part was changed)" : "";
    return [
      {
        what: `${title}: ${pack.name}`,
        readings: `${readingsText(trial?.readings?.[pack.name] ?? {})}${request.trials.length > 1 ? ` (trial ${state.trial} of ${request.trials.length})` : ""}`,
        exact: state.clearance,
        bounds: pack.limits,
        size: sizeThatSets(pack.name, request),
        clearance: withUncertainty(row.Clearance, row.Uncertainty),
        limits: sources[pack.name] ?? limitsText(pack.limits),
        verdict: `${row.Verdict}${only}`,
        isOut: state.verdict !== "in" || state.stale,
      },
    ];
  });
}

/**
 * Which sizes are fitted, with the thickness that was measured.
 *
 * @param {Entry} answer
 * @returns {string[]}
 */
export function fittedParts({ request }) {
  const last = Array.isArray(request.trials) ? request.trials.at(-1)?.fitted : undefined;
  if (last) {
    return Object.entries(last).map(([place, part]) => `${place}: ${part.id}${part.measured ? `, measured ${part.measured}` : ""}`);
  }
  return typeof request.fitted === "string" ? [request.fitted] : [];
}

/**
 * @param {string} pack
 * @param {Record<string, any>} request
 * @returns {string} the size that is fitted where only this pack is set, else in the first place that touches it
 */
function sizeThatSets(pack, { positions, trials }) {
  const touching = (positions ?? []).filter((/** @type {any} */ place) => pack in (place.effect ?? {}));
  const own = touching.find((/** @type {any} */ place) => Object.keys(place.effect).length === 1) ?? touching[0];
  return trials.at(-1)?.fitted?.[own?.name]?.id ?? "";
}

/** @param {Record<string, any>} readings */
function readingsText(readings) {
  const lists = ["lifts", "leaves", "to_plate", "to_ring", "readings"].flatMap((name) => (Array.isArray(readings[name]) ? [readings[name]] : []));
  return lists.map((list) => list.map((/** @type {any} */ one) => (Array.isArray(one) ? one.join(" + ") : one)).join("; ")).join(" less ");
}

/** @param {{min: string, max: string}} limits */
function limitsText({ min, max }) {
  return `${min} to ${max}`;
}

/**
 * @param {unknown} clearance
 * @param {unknown} uncertainty
 */
function withUncertainty(clearance, uncertainty) {
  return uncertainty ? `${clearance} ± ${uncertainty}` : String(clearance ?? "");
}
