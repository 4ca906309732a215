/** The sentences of the search box. */

/** @type {Record<string, string>} */
export const KINDS = {
  procedure: "Procedure",
  standard: "Shop standard",
  guide: "Page",
  unit: "Unit",
  stack: "Stack",
  spec: "Limits",
  part: "Part",
  calculation: "Calculation",
  word: "Word",
};

export const TEXTS = {
  search: "Search",
  label: "Search the manual",
  hint: "Part, number, job, limit…",
  clear: "Clear",
  close: "Close",
  results: "Results",
  start: "Type a part, its number, a job or a limit. Any word the shop uses will do.",
  loading: "Reading the index…",
  failed:
    "The search index could not be read. Reload the page; if it fails again, ask whoever maintains this manual to build it again.",
  noneHead: "Nothing found for ",
  noneTry: "Try one word instead of several, the part’s number or a piece of it, or what the part does.",
  some: "These have only some of the words:",
  keys: "Arrow keys to choose, Enter to open.",
  instead: (/** @type {readonly string[]} */ words) => `Also looked for: ${words.join(", ")}.`,
  count: (/** @type {number} */ all, /** @type {number} */ shown) => {
    if (all === 1) return "1 result.";
    return all > shown ? `${all} results, the best ${shown} are shown.` : `${all} results, the best first.`;
  },
  wholeCount: (/** @type {number} */ whole) =>
    (whole === 1 ? "1 result has all of these words." : `${whole} results have all of these words.`),
  someCount: (/** @type {number} */ shown) =>
    `Nothing has all of these words. ${shown === 1 ? "1 result has" : `${shown} results have`} some of them.`,
};
