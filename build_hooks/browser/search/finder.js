/** Finds entries: what was typed goes in, ranked finds come out. Knows nothing of the page. */

import { entriesOf, openedIndex } from "./index-of.js";
import { piecesOf } from "./query.js";
import { Synonyms } from "./synonyms.js";
import { isEmpty, termsOf } from "./terms.js";

/** What the build writes (build_hooks/search/index_file.py).
 * @typedef {object} SearchIndex
 * @property {string[]} fields
 * @property {string[][]} entries
 * @property {import("./synonyms.js").WordGroup[]} words
 * @property {import("minisearch").AsPlainObject} [ready] the library's index of the entries
 */

/** Something that can be found (build_hooks/search/entry.py says what each is).
 * @typedef {{ kind: string, title: string, page: string, url: string, said: string, text: string, words: string }} Entry
 */

/** An entry that was found, and the terms of it that were meant.
 * @typedef {{ entry: Entry, score: number, terms: ReadonlySet<string> }} Find
 */

/** The finds of a query.
 * @typedef {object} Finds
 * @property {Find[]} finds the best first
 * @property {number} whole how many of them, the first, have all that was asked for
 * @property {string[]} instead words that were looked for beside what was typed
 */

/** What is known of an entry while a query is worked on.
 * @typedef {{ score: number, matched: number, inTitle: number, terms: Set<string> }} Tally
 */

/** How much a find in each part of an entry counts. */
const BOOST = { title: 4, page: 1.6, said: 1.6, text: 1, words: 1.2 };
/** How far a misspelt word may be off: letters changed, by its length. */
const MISSPELT_SHARE = 0.25;
/**
 * What is meant more often, where two fit equally well.
 * @type {Record<string, number>}
 */
const PRIOR = {
  spec: 1.15,
  standard: 1.15,
  stack: 1.05,
  calculation: 1,
  unit: 1,
  procedure: 0.95,
  word: 0.95,
  part: 0.9,
  guide: 0.8,
};
/** What an entry gains whose title has all that was asked for, and one whose title says nothing else. */
const ALL_IN_TITLE = 1.4;
const TITLE_ALONE = 1.5;
/** A find with only some of what was asked for loses more than its share. */
const MISSING = 1.5;
/** With fewer finds than this, those with only some of what was asked for are given as well. */
const FEW = 4;
/** A page that has shown this many of its sections lets others go first. */
const OF_ONE_PAGE = 3;
const LATER_OF_ONE_PAGE = 0.6;

export class Finder {
  #entries;
  #index;
  #synonyms;
  #known;

  /**
   * @param {SearchIndex} data
   * @param {import("./index-of.js").BuiltIndex} index
   */
  constructor(data, index) {
    this.#entries = entriesOf(data);
    this.#index = index;
    this.#synonyms = new Synonyms(data.words);
    const { terms } = index;
    const all = [...terms];
    this.#known = {
      has: (/** @type {string} */ term) => terms.has(term),
      begins: (/** @type {string} */ start) => all.some((term) => term.startsWith(start)),
    };
  }

  /** @param {SearchIndex} data */
  static async open(data) {
    return new Finder(data, await openedIndex(data));
  }

  /**
   * @param {string} typed
   * @returns {Finds}
   */
  find(typed) {
    const pieces = piecesOf(typed, this.#synonyms, this.#known);
    /** @type {Map<number, Tally>} */
    const tallies = new Map();
    /** @type {Set<string>} */
    const instead = new Set();
    let wanted = 0;
    for (const piece of pieces) {
      const found = this.#findPiece(piece, instead);
      // A lone letter that finds nothing is the start of a word that is still being typed.
      if (found.size || piece.said.length > 1) wanted += 1;
      for (const [id, best] of found) add(tallies, id, best);
    }
    const ranked = [...tallies].map(([id, tally]) => this.#ranked(id, tally, wanted));
    const whole = spreadOut(ranked.filter((find) => find.matched === wanted));
    const rest = whole.length < FEW ? spreadOut(ranked.filter((find) => find.matched < wanted)) : [];
    return { finds: [...whole, ...rest], whole: whole.length, instead: unsaid(instead, typed) };
  }

  /**
   * The best way in which each entry has a piece.
   *
   * @param {import("./query.js").Piece} piece
   * @param {Set<string>} instead takes the other words that found something
   */
  #findPiece(piece, instead) {
    /** @type {Map<number, Tally>} */
    const best = new Map();
    for (const way of piece.ways) {
      const results = this.#search(way);
      if (results.length && way.name) instead.add(way.name);
      for (const result of results) {
        // The library counts an entry double that has two of the terms; here it has them all anyway.
        const score = (way.weight * result.score) / result.queryTerms.length;
        const inTitle = result.terms.some((term) => result.match[term]?.includes("title")) ? 1 : 0;
        const known = best.get(result.id);
        if (!known) best.set(result.id, { score, matched: 1, inTitle, terms: new Set(result.terms) });
        else {
          known.score = Math.max(known.score, score);
          known.inTitle = Math.max(known.inTitle, inTitle);
          for (const term of result.terms) known.terms.add(term);
        }
      }
    }
    return best;
  }

  /** @param {import("./query.js").Way} way */
  #search(way) {
    return this.#index.mini.search(
      { queries: way.terms, combineWith: "AND" },
      {
        tokenize: (term) => [term],
        prefix: way.prefix,
        fuzzy: way.fuzzy ? MISSPELT_SHARE : false,
        boost: BOOST,
      },
    );
  }

  /**
   * @param {number} id
   * @param {Tally} tally
   * @param {number} wanted how many pieces were asked for
   */
  #ranked(id, { score, matched, inTitle, terms }, wanted) {
    const entry = /** @type {Entry} */ (this.#entries[id]);
    const titled = inTitle === wanted;
    const alone = titled && termsOf(entry.title).every((term) => terms.has(term) || isEmpty(term));
    const share = (matched / wanted) ** MISSING * (PRIOR[entry.kind] ?? 1);
    return { entry, matched, terms, score: score * share * (titled ? ALL_IN_TITLE : 1) * (alone ? TITLE_ALONE : 1) };
  }
}

/**
 * The words that were not typed anyway.
 *
 * @param {Iterable<string>} words
 * @param {string} typed
 */
function unsaid(words, typed) {
  const said = new Set(termsOf(typed));
  return [...words].filter((word) => !termsOf(word).every((term) => said.has(term)));
}

/**
 * @param {Map<number, Tally>} tallies
 * @param {number} id
 * @param {Tally} best
 */
function add(tallies, id, best) {
  const known = tallies.get(id);
  if (!known) {
    tallies.set(id, best);
    return;
  }
  known.score += best.score;
  known.matched += 1;
  known.inTitle += best.inTitle;
  for (const term of best.terms) known.terms.add(term);
}

/**
 * The best first, but other pages before the fourth section of one.
 *
 * @template {Find} F
 * @param {F[]} finds
 * @returns {F[]}
 */
function spreadOut(finds) {
  /** @type {Map<string, number>} */
  const seen = new Map();
  const lowered = finds.sort(byScore).map((find) => {
    const page = `${find.entry.kind} ${find.entry.url.split("#")[0]}`;
    const count = (seen.get(page) ?? 0) + 1;
    seen.set(page, count);
    return count > OF_ONE_PAGE ? { ...find, score: find.score * LATER_OF_ONE_PAGE } : find;
  });
  return lowered.sort(byScore);
}

/**
 * @param {Find} a
 * @param {Find} b
 */
function byScore(a, b) {
  return b.score - a.score;
}
