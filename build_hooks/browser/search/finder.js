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
 * @typedef {{ kind: string, title: string, page: string, url: string, said: string, text: string, words: string, asked: string }} Entry
 */

/** An entry that was found, and the terms of it that were meant.
 * @typedef {{ entry: Entry, score: number, terms: ReadonlySet<string> }} Find
 */

/** The finds of a query.
 * @typedef {object} Finds
 * @property {Find[]} finds the best first; of very many, only the best
 * @property {number} whole how many have all that was asked for
 * @property {boolean} inOrder whether these come before all others
 * @property {number} all how many have at least some of it, where that is asked for
 * @property {string[]} instead words that were looked for beside what was typed
 */

/** The terms by which an entry has a piece in one way, and how many of them it takes.
 * @typedef {{ terms: string[], count: number }} Taken
 */

/** How an entry has a piece: the best way, and what was found in all ways.
 * @typedef {{ score: number, inTitle: number, ways: Taken[] }} Hit
 */

/** What is known of an entry or of a page while a query is worked on.
 * @typedef {object} Tally
 * @property {number} score of all pieces together
 * @property {number} weight of the pieces that it has, by how much each tells
 * @property {number} matched how many pieces it has
 * @property {number} inTitle how many of them its title has
 * @property {{ ways: Taken[], weight: number }[]} pieces
 */

/** An entry with its score, before its words are looked at.
 * @typedef {{ id: number, tally: Tally, score: number }} Ranked
 */

/** How much a find in each part of an entry counts. */
const BOOST = { title: 4, page: 1.6, said: 1.6, text: 1, words: 1.2, asked: 1 };
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
  guide: 0.7,
};
/** What is written as pages, by section. */
const WRITTEN = new Set(["standard", "procedure", "guide", "unit", "calculation"]);
/** What an entry gains whose title has all that was asked for, and one whose title says nothing else. */
const ALL_IN_TITLE = 1.4;
const TITLE_ALONE = 1.5;
/** A find with only some of what was asked for loses more than its share. */
const MISSING = 1.5;
/** What an entry gains from the whole of its page: the section meant is on the page that is about it. */
const OF_PAGE = 0.5;
/** What an entry gains that has everything. In a sentence it may have it by chance. */
const WHOLE = 1.1;
/** So few words are all meant: what has them all comes first. */
const ALL_MEANT = 2;
/** With fewer finds than this, those with only some of what was asked for are given as well. */
const FEW = 4;
/** What a page gains that is asked for in just these words; less, the more words are over on either side, and nothing for few. */
const ASKED = 4;
const ASKED_LEAST = 0.3;
/** A single word is asked for only where it is a whole phrase: as a piece of one it is any word of the page. */
const ASKED_ALONE = 0.9;
/** The words of a phrase stand this near each other; how much a find counts where they do not; how many finds are looked at. */
const NEAR = 4;
const APART = 0.4;
const LOOKED_AT = 60;
/** What has only some of the words goes before all that have them if it is so much better: those have them by chance. */
const FAR_BETTER = 1.6;
/** So many of the best are looked at closely; nobody reads further. */
const CANDIDATES = 200;
/** A page that has shown this many of its sections lets others go first. */
const OF_ONE_PAGE = 3;
const LATER_OF_ONE_PAGE = 0.6;

export class Finder {
  #entries;
  #pages;
  #index;
  #synonyms;
  #known;
  /** @type {Map<number, string[]>} of entries that were looked at, in their order */
  #terms = new Map();
  /** @type {Map<number, Set<string>[]>} the words of each phrase that an entry is asked for by */
  #phrases = new Map();

  /**
   * @param {SearchIndex} data
   * @param {import("./index-of.js").BuiltIndex} index
   */
  constructor(data, index) {
    this.#entries = entriesOf(data);
    this.#pages = pagesOf(this.#entries);
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
    /** @type {Map<number, Tally>} of pages, each piece by the section that has it best */
    const pages = new Map();
    /** @type {Set<string>} */
    const instead = new Set();
    const wanted = { count: 0, weight: 0 };
    for (const piece of pieces) {
      const found = this.#findPiece(piece, instead);
      // A lone letter that finds nothing is the start of a word that is still being typed.
      if (found.size || piece.said.length > 1) wanted.count += 1;
      const weight = telling(this.#entries.length, found.size);
      if (found.size) wanted.weight += weight;
      for (const [id, hit] of found) add(tallies, id, hit, weight);
      for (const [page, hit] of bestOfPages(found, this.#pages)) add(pages, page, hit, weight);
    }
    const asked = this.#asked(tallies, wanted);
    const ranked = [...tallies].map(([id, tally]) => ({ id, tally, score: this.#score(id, tally, wanted) }));
    const best = bestScores(ranked, this.#pages);
    for (const one of ranked) {
      const page = this.#pages[one.id] ?? one.id;
      // The sections of a page keep their order: the best has all that the page gives, and the others their share.
      const around = shared(pages.get(page) ?? one.tally, wanted.weight) * (one.score / (best.get(page) || 1));
      one.score = (one.score + OF_PAGE * around) * (1 + ASKED * (asked.get(page) ?? 0));
    }
    return { ...this.#inOrder(ranked, wanted.count), instead: unsaid(instead, typed) };
  }

  /**
   * The pages, limits, stacks, parts and words that are asked for in words like these, and how alike they are.
   *
   * @param {ReadonlyMap<number, Tally>} tallies of entries
   * @param {{ count: number, weight: number }} wanted how many pieces were asked for, and how much they tell
   */
  #asked(tallies, wanted) {
    const least = wanted.count > 1 ? ASKED_LEAST : ASKED_ALONE;
    /** @type {Map<number, number>} */
    const shares = new Map();
    for (const [id, tally] of tallies) {
      const entry = /** @type {Entry} */ (this.#entries[id]);
      if (!entry.asked && WRITTEN.has(entry.kind)) continue;
      const share = askedShare(this.#phrasesOf(id), tally, wanted.weight);
      shares.set(this.#pages[id] ?? id, Math.max(0, (share - least) / (1 - least)));
    }
    return shares;
  }

  /**
   * @param {Ranked[]} ranked
   * @param {number} wanted how many pieces were asked for
   */
  #inOrder(ranked, wanted) {
    const whole = ranked.filter(({ tally }) => tally.matched === wanted);
    if (wanted > ALL_MEANT || isFarBetter(ranked, wanted)) {
      const finds = this.#best(ranked, wanted);
      const having = new Set(whole.map(({ id }) => this.#entries[id]));
      const inOrder = finds.slice(0, having.size).every(({ entry }) => having.has(entry));
      return { finds, whole: whole.length, inOrder, all: ranked.length };
    }
    const rest = whole.length < FEW ? ranked.filter(({ tally }) => tally.matched < wanted) : [];
    return { finds: [...this.#best(whole, wanted), ...this.#best(rest, wanted)], whole: whole.length, inOrder: true, all: whole.length + rest.length };
  }

  /**
   * The best way in which each entry has a piece.
   *
   * @param {import("./query.js").Piece} piece
   * @param {Set<string>} instead takes the other words that found something
   */
  #findPiece(piece, instead) {
    /** @type {Map<number, Hit>} */
    const best = new Map();
    for (const way of piece.ways) {
      const results = this.#search(way);
      if (results.length && way.name) instead.add(way.name);
      for (const [at, result] of results.entries()) {
        // The library counts an entry double that has two of the terms; here it has them all anyway.
        const near = isInOnePlace(result) && this.#areNear(result, way.terms.length, at) ? 1 : APART;
        const score = (near * way.weight * result.score) / result.queryTerms.length;
        const inTitle = result.terms.some((term) => result.match[term]?.includes("title")) ? 1 : 0;
        const taken = { terms: result.terms, count: way.terms.length };
        const known = best.get(result.id);
        if (!known) best.set(result.id, { score, inTitle, ways: [taken] });
        else {
          known.score = Math.max(known.score, score);
          known.inTitle = Math.max(known.inTitle, inTitle);
          known.ways.push(taken);
        }
      }
    }
    return best;
  }

  /**
   * Whether the words of a phrase stand together, in the title or the text: far apart they are only words.
   *
   * @param {import("minisearch").SearchResult} result
   * @param {number} count of the words
   * @param {number} at the place among the finds; only the best are looked at
   */
  #areNear({ id, terms }, count, at) {
    if (count < 2) return true;
    return at < LOOKED_AT && areNear(this.#termsOf(id), terms, count);
  }

  /** @param {number} id */
  #phrasesOf(id) {
    const known = this.#phrases.get(id);
    if (known) return known;
    const phrases = phrasesOf(/** @type {Entry} */ (this.#entries[id]));
    const words = phrases.map((phrase) => new Set(termsOf(phrase).filter((term) => !isEmpty(term))));
    this.#phrases.set(id, words);
    return words;
  }

  /** @param {number} id */
  #termsOf(id) {
    const known = this.#terms.get(id);
    if (known) return known;
    const { title, page, said, text, words, asked } = /** @type {Entry} */ (this.#entries[id]);
    const terms = termsOf([title, page, said, text, words, asked].join(" ")).filter((term) => !isEmpty(term));
    this.#terms.set(id, terms);
    return terms;
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
   * @param {{ count: number, weight: number }} wanted how many pieces were asked for, and how much they tell
   */
  #score(id, tally, wanted) {
    const prior = PRIOR[this.#entries[id]?.kind ?? ""] ?? 1;
    const whole = tally.matched === wanted.count ? WHOLE : 1;
    return shared(tally, wanted.weight) * whole * prior * (tally.inTitle === wanted.count ? ALL_IN_TITLE : 1);
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
      const terms = new Set(tally.pieces.flatMap(({ ways }) => ways.flatMap(({ terms }) => terms)));
      const alone = tally.inTitle === wanted && termsOf(entry.title).every((term) => terms.has(term) || isEmpty(term));
      return { entry, terms, score: alone ? score * TITLE_ALONE : score };
    });
    return spreadOut(finds);
  }
}

/**
 * Whether a title has all the words of a phrase, or none: one of them there says little.
 *
 * @param {import("minisearch").SearchResult} result
 */
function isInOnePlace({ match, terms, queryTerms }) {
  const inTitle = terms.filter((term) => match[term]?.includes("title")).length;
  return inTitle === 0 || inTitle >= queryTerms.length;
}

/**
 * Whether so many of the terms stand within a few words.
 *
 * @param {readonly string[]} words in their order
 * @param {readonly string[]} terms
 * @param {number} count
 */
function areNear(words, terms, count) {
  const wanted = new Set(terms);
  /** @type {{ term: string, at: number }[]} */
  const stretch = [];
  for (const [at, term] of words.entries()) {
    if (!wanted.has(term)) continue;
    stretch.push({ term, at });
    while (at - (stretch[0]?.at ?? at) > NEAR) stretch.shift();
    if (new Set(stretch.map((one) => one.term)).size >= count) return true;
  }
  return false;
}

/**
 * Whether the best find that lacks something is far better than the best that has everything.
 *
 * @param {readonly Ranked[]} ranked
 * @param {number} wanted how many pieces were asked for
 */
function isFarBetter(ranked, wanted) {
  let [whole, some] = [0, 0];
  for (const { tally, score } of ranked) {
    if (tally.matched === wanted) whole = Math.max(whole, score);
    else some = Math.max(some, score);
  }
  return whole > 0 && some > FAR_BETTER * whole;
}

/**
 * How much a query and the phrase nearest to it have in common: 1 if each says all that the other says.
 *
 * @param {readonly Set<string>[]} phrases
 * @param {Tally} tally of the page's entry
 * @param {number} wanted how much all pieces tell
 */
function askedShare(phrases, { pieces }, wanted) {
  const shares = phrases.map((words) => {
    const said = new Set();
    let told = 0;
    for (const { ways, weight } of pieces) {
      const found = ways
        .map(({ terms, count }) => ({ terms: terms.filter((term) => words.has(term)), count }))
        .filter(({ terms, count }) => terms.length >= count);
      if (found.length) told += weight;
      for (const term of found.flatMap(({ terms }) => terms)) said.add(term);
    }
    return (told / wanted) * Math.sqrt(said.size / Math.max(1, words.size));
  });
  return Math.max(...shares);
}

/**
 * What an entry is asked for by: limits, stacks, parts and words by their names, alone and with their unit.
 *
 * @param {Entry} entry
 */
function phrasesOf({ kind, title, page, asked }) {
  return WRITTEN.has(kind) ? asked.split(". ") : [title, `${page} ${title}`];
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
 * The page of each entry, by the first entry that stands on it. Parts, limits, stacks and words are found by themselves: many
 * stand on one page, and that is not about them.
 *
 * @param {readonly Entry[]} entries
 * @returns {number[]}
 */
function pagesOf(entries) {
  /** @type {Map<string, number>} */
  const first = new Map();
  return entries.map((entry, id) => {
    if (!WRITTEN.has(entry.kind)) return id;
    const address = entry.url.split("#")[0] ?? "";
    const page = first.get(address) ?? id;
    first.set(address, page);
    return page;
  });
}

/**
 * A score, less what is missing of the words that were asked for.
 *
 * @param {Tally} tally
 * @param {number} all how much all pieces tell
 */
function shared({ score, weight }, all) {
  return score * (weight / all) ** MISSING;
}

/**
 * The score of the best entry of each page.
 *
 * @param {readonly Ranked[]} ranked
 * @param {readonly number[]} pages of each entry
 * @returns {Map<number, number>}
 */
function bestScores(ranked, pages) {
  /** @type {Map<number, number>} */
  const best = new Map();
  for (const { id, score } of ranked) {
    const page = pages[id] ?? id;
    best.set(page, Math.max(best.get(page) ?? 0, score));
  }
  return best;
}

/**
 * How much a piece tells of what is meant, by how many of all entries have it.
 *
 * @param {number} all
 * @param {number} having
 */
function telling(all, having) {
  return Math.log(1 + (all - having + 0.5) / (having + 0.5));
}

/**
 * @param {ReadonlyMap<number, Hit>} found by entry
 * @param {readonly number[]} pages of each entry
 * @returns {Map<number, Hit>} by page
 */
function bestOfPages(found, pages) {
  /** @type {Map<number, Hit>} */
  const best = new Map();
  for (const [id, hit] of found) {
    const page = pages[id] ?? id;
    const known = best.get(page);
    if (!known || known.score < hit.score) best.set(page, hit);
  }
  return best;
}

/**
 * @param {Map<number, Tally>} tallies
 * @param {number} key of an entry or a page
 * @param {Hit} hit
 * @param {number} weight how much the piece tells
 */
function add(tallies, key, { score, inTitle, ways }, weight) {
  const known = tallies.get(key);
  if (!known) {
    tallies.set(key, { score, weight, matched: 1, inTitle, pieces: [{ ways, weight }] });
    return;
  }
  known.score += score;
  known.weight += weight;
  known.matched += 1;
  known.inTitle += inTitle;
  known.pieces.push({ ways, weight });
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
