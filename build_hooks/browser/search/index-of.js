/** The library's index of the manual's entries: made from them, or read as the build has made it. */

import MiniSearch from "minisearch";
import { isEmpty, termsOf } from "./terms.js";

/** @typedef {import("./finder.js").Entry} Entry */
/** @typedef {import("./finder.js").SearchIndex} SearchIndex */
/** @typedef {{ mini: MiniSearch<Entry & { id: number }>, terms: Set<string> }} BuiltIndex */

/** What people ask for; a word that stands only there is none of the manual's own, and others like it are looked for as well. */
const ASKED = "asked";
const FIELDS = ["title", "page", "said", "text", "words", ASKED];

/**
 * @param {(term: string) => void} [note] is called with each term that the manual itself has
 * @returns {import("minisearch").Options<Entry & { id: number }>}
 */
function options(note) {
  return {
    fields: FIELDS,
    // Entries are cut into terms here, once; a query arrives as terms already.
    tokenize: (text, field) => {
      const terms = field === "text" ? termsOf(text).filter((term) => !isEmpty(term)) : termsOf(text);
      if (note && field !== ASKED) terms.forEach(note);
      return terms;
    },
    processTerm: (term) => term,
  };
}

/**
 * The entries by their names instead of their places.
 *
 * @param {SearchIndex} index
 * @returns {Entry[]}
 */
export function entriesOf(index) {
  return index.entries.map(
    (row) => /** @type {Entry} */ (Object.fromEntries(index.fields.map((name, at) => [name, row[at] ?? ""]))),
  );
}

/**
 * @param {SearchIndex} index
 * @returns {BuiltIndex}
 */
export function builtIndex(index) {
  /** @type {Set<string>} */
  const terms = new Set();
  /** @type {MiniSearch<Entry & { id: number }>} */
  const mini = new MiniSearch(options((term) => terms.add(term)));
  mini.addAll(entriesOf(index).map((entry, id) => ({ ...entry, id })));
  return { mini, terms };
}

/**
 * The index as the build has made it, else made now. The page stays at hand meanwhile.
 *
 * @param {SearchIndex} index
 * @returns {Promise<BuiltIndex>}
 */
export async function openedIndex(index) {
  const { ready } = index;
  if (!ready) return builtIndex(index);
  const asked = String(ready.fieldIds[ASKED]);
  const own = ready.index.filter(([, fields]) => Object.keys(fields).some((field) => field !== asked));
  const terms = new Set(own.map(([term]) => term));
  return { mini: await MiniSearch.loadJSAsync(ready, options()), terms };
}
