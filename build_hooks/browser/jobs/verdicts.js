// What says that nothing is to be done; every other verdict lies open until it is mended or accepted.
const GOOD = new Set(["in", "stay", "good", "new", "usable", "true"]);

/**
 * Whether an answer leaves nothing to be done. One without a verdict, as of a conversion, has nothing against it.
 *
 * @param {import("../records/job-entries.js").Entry} answer
 */
export function isIn({ verdict }) {
  return verdict === "" || GOOD.has(verdict);
}
