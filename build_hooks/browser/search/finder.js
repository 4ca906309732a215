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
 * @property {Find[]} finds the best first; of very many, only the best
 * @property {number} whole how many have all that was asked for; they come first
 * @property {number} all how many have at least some of it, where that is asked for
 * @property {string[]} instead words that were looked for beside what was typed
 */

/** What is known of an entry while a query is worked on; the terms as the library gives them, way by way.
 * @typedef {{ score: number, matched: number, inTitle: number, terms: string[][] }} Tally
 */

/** An entry with its score, before its terms are looked at.
 * @typedef {{ id: number, tally: Tally, score: number }} Ranked
 */

/** How much a find in each part of an entry counts. */
const BOOST = { title: 4, page: 1.6, said: 1.6, text: 1, words: 1.2 };
/** How much a longer word and a misspelt one count beside the word itself; less, the more they differ. */
const WEIGHTS = { prefix: 0.26, fuzzy: 0.27 };
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
/** So many of the best are looked at closely; nobody reads further. */
const CANDIDATES = 200;
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
    /** @type {Ranked[]} */
    const ranked = [];
    for (const [id, tally] of tallies) ranked.push({ id, tally, score: this.#score(id, tally, wanted) });
    const whole = ranked.filter(({ tally }) => tally.matched === wanted);
    const rest = whole.length < FEW ? ranked.filter(({ tally }) => tally.matched < wanted) : [];
    return {
      finds: [...this.#best(whole, wanted), ...this.#best(rest, wanted)],
      whole: whole.length,
      all: whole.length + rest.length,
      instead: unsaid(instead, typed),
    };
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
        if (!known) best.set(result.id, { score, matched: 1, inTitle, terms: [result.terms] });
        else {
          known.score = Math.max(known.score, score);
          known.inTitle = Math.max(known.inTitle, inTitle);
          known.terms.push(result.terms);
        }
      }
    }
    return best;
  }

  /** @param {import("./query.js").Way} way */
  #search({ terms, prefix, fuzzy }) {
    const last = { queries: terms.slice(-1), prefix, fuzzy: fuzzy && MISSPELT_SHARE };
    return this.#index.mini.search(
      { queries: [...terms.slice(0, -1), last], combineWith: "AND" },
      { tokenize: (term) => [term], boost: BOOST, weights: WEIGHTS },
    );
  }

  /**
   * @param {number} id
   * @param {Tally} tally
   * @param {number} wanted how many pieces were asked for
   */
  #score(id, { score, matched, inTitle }, wanted) {
    const prior = PRIOR[this.#entries[id]?.kind ?? ""] ?? 1;
    return score * (matched / wanted) ** MISSING * prior * (inTitle === wanted ? ALL_IN_TITLE : 1);
  }

  /**
   * The best, looked at closely, the best first.
   *
   * @param {Ranked[]} ranked
   * @param {number} wanted how many pieces were asked for
   * @returns {Find[]}
   */
  #best(ranked, wanted) {
    const candidates = ranked.sort(byScore).slice(0, CANDIDATES);
    const finds = candidates.map(({ id, tally, score }) => {
      const entry = /** @type {Entry} */ (this.#entries[id]);
      const terms = new Set(tally.terms.flat());
      const alone = tally.inTitle === wanted && termsOf(entry.title).every((term) => terms.has(term) || isEmpty(term));
      return { entry, terms, score: alone ? score * TITLE_ALONE : score };
    });
    return spreadOut(finds);
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
  known.terms.push(...best.terms);
}

/**
 * The best first, but other pages before the fourth section of one.
 *
 * @param {Find[]} finds
 * @returns {Find[]}
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
 * @param {{ score: number }} a
 * @param {{ score: number }} b
 */
function byScore(a, b) {
  return b.score - a.score;
}
