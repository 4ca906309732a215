/** What was typed, taken apart: pieces of which each is to be found, and the ways in which each may be. */

import { chunksOf, folded, hasDigit, isEmpty, joined, numberPieces, stem, withoutUnit, wordsOf } from "./terms.js";

/** @typedef {import("./synonyms.js").Synonyms} Synonyms */

/** One way to find a piece of a query: all its terms in one entry.
 * @typedef {object} Way
 * @property {string[]} terms
 * @property {number} weight how much a find this way counts
 * @property {boolean} prefix whether the last term may be a beginning
 * @property {boolean} fuzzy whether the terms may be misspelt
 * @property {string} [name] the word that is looked for in place of what was typed
 */

/** A piece of a query.
 * @typedef {{ said: string, ways: Way[] }} Piece
 */

/** The terms of the manual.
 * @typedef {{ has(term: string): boolean, begins(start: string): boolean }} Known
 */

/** A word or number of a query.
 * @typedef {{ term: string, said: string, pieces: string[] }} Token
 */

/** How much each way counts beside the word itself as it was typed. */
const WHOLE_NUMBER = 2;
const NUMBER_IN_PIECES = 0.6;
const SWAPPED = 0.7;
const RUN_TOGETHER = 0.8;
const UNFINISHED_PHRASE = 0.6;
/** The same where the manual's own words begin so as well, and are more likely meant. */
const UNFINISHED_BESIDE = 0.3;

/** A shorter word is too easily another one. */
const SHORTEST_MISSPELT = 4;
const SHORTEST_BEGINNING = 2;
const SHORTEST_PHRASE_BEGINNING = 3;
const SHORTEST_HALF = 3;
const MOST_UNFINISHED = 3;

/**
 * The pieces of a query.
 *
 * @param {string} typed
 * @param {Synonyms} synonyms
 * @param {Known} known
 * @returns {Piece[]}
 */
export function piecesOf(typed, synonyms, known) {
  const tokens = joinNumbers(tokensOf(typed), known);
  /** @type {Piece[]} */
  const pieces = [];
  for (let at = 0; at < tokens.length; ) {
    const count = Math.max(1, synonyms.longestAt(tokens.map((token) => token.term), at));
    const isCompound = count === 1 && known.has(compoundAt(tokens, at));
    const length = isCompound ? 2 : count;
    const piece = pieceOf(tokens.slice(at, at + length), at + length === tokens.length, synonyms, known);
    if (isCompound) piece.ways.push(way([compoundAt(tokens, at)], 1));
    pieces.push(piece);
    at += length;
  }
  return pieces;
}

/**
 * A word and the next as one, for people write lock up and lockup; empty where there are no two words.
 *
 * @param {readonly Token[]} tokens
 * @param {number} at
 */
function compoundAt(tokens, at) {
  const [first, second] = tokens.slice(at, at + 2);
  return first && second && !hasDigit(first.said + second.said) ? stem(first.said + second.said) : "";
}

/**
 * @param {string} typed
 * @returns {Token[]}
 */
function tokensOf(typed) {
  const all = chunksOf(typed).flatMap((chunk) => tokensIn(chunk.text));
  const telling = all.filter((token) => !isEmpty(token.said));
  return telling.length ? telling : all;
}

/**
 * @param {string} chunk
 * @returns {Token[]}
 */
function tokensIn(chunk) {
  const plain = folded(chunk);
  if (!hasDigit(plain)) return wordsOf(plain).map(wordToken);
  const [figure, ...unit] = withoutUnit(plain);
  return [{ term: joined(figure), said: figure, pieces: numberPieces(figure) }, ...unit.map(wordToken)];
}

/**
 * @param {string} word
 * @returns {Token}
 */
function wordToken(word) {
  return { term: stem(word), said: word, pieces: [] };
}

/**
 * FR 157 and FR-157 are one part: letters and a figure beside each other are one number where the manual has it.
 *
 * @param {Token[]} tokens
 * @param {Known} known
 */
function joinNumbers(tokens, known) {
  /** @type {Token[]} */
  const made = [];
  for (const token of tokens) {
    const last = made.at(-1);
    const whole = last ? joined(last.said) + token.term : "";
    if (last && hasDigit(token.term) !== hasDigit(last.term) && hasDigit(whole) && known.has(whole)) {
      made.pop();
      made.push({ term: whole, said: `${last.said} ${token.said}`, pieces: numberPieces(`${last.said}-${token.said}`) });
    } else made.push(token);
  }
  return made;
}

/**
 * @param {Token[]} tokens a phrase that stands for something, or one word or number
 * @param {boolean} isLast whether it may not have been typed to its end
 * @param {Synonyms} synonyms
 * @param {Known} known
 * @returns {Piece}
 */
function pieceOf(tokens, isLast, synonyms, known) {
  const terms = tokens.map((token) => token.term);
  const meant = synonyms.of(terms).map((meaning) => meantWay(meaning, 1));
  // Another word that the manual does not have finds nothing.
  const others = meant.filter((one) => one.terms.every((term) => known.has(term)));
  const [first] = tokens;
  const ways = tokens.length === 1 && first ? tokenWays(first, isLast, synonyms, known) : [way(terms, 1, { prefix: isLast })];
  return { said: tokens.map((token) => token.said).join(" "), ways: [...ways, ...others] };
}

/**
 * @param {Token} token
 * @param {boolean} isLast
 * @param {Synonyms} synonyms
 * @param {Known} known
 * @returns {Way[]}
 */
function tokenWays(token, isLast, synonyms, known) {
  if (hasDigit(token.term)) return numberWays(token);
  const isSynonym = synonyms.of([token.term]).length > 0;
  return [...wordWays(token, isLast, known, isSynonym), ...unfinished(token, isLast, synonyms, known)];
}

/**
 * @param {string[]} terms
 * @param {number} weight
 * @param {{ prefix?: boolean, fuzzy?: boolean, name?: string }} [more]
 * @returns {Way}
 */
function way(terms, weight, { prefix = false, fuzzy = false, name } = {}) {
  return { terms, weight, prefix, fuzzy, ...(name === undefined ? {} : { name }) };
}

/**
 * A way by another word; the reader is shown only the manual's own word.
 *
 * @param {import("./synonyms.js").Meaning} meaning
 * @param {number} share of its weight
 */
function meantWay(meaning, share) {
  return way(meaning.words, meaning.weight * share, meaning.isTheWord ? { name: meaning.name } : {});
}

/**
 * @param {Token} token
 * @returns {Way[]}
 */
function numberWays(token) {
  const pieces = token.pieces.filter((piece) => piece !== token.term);
  return [
    way([token.term], WHOLE_NUMBER, { prefix: true }),
    ...(pieces.length ? [way(pieces, NUMBER_IN_PIECES)] : []),
  ];
}

/**
 * @param {Token} token
 * @param {boolean} isLast
 * @param {Known} known
 * @param {boolean} isSynonym
 * @returns {Way[]}
 */
function wordWays({ term, said }, isLast, known, isSynonym) {
  const isSure = known.has(term) || isSynonym;
  const ways = [
    way([term], 1, {
      prefix: term.length >= SHORTEST_BEGINNING && (isLast || !isSure),
      fuzzy: term.length >= SHORTEST_MISSPELT && !isSure,
    }),
  ];
  if (isSure) return ways;
  for (const other of swapped(term)) if (known.has(other)) ways.push(way([other], SWAPPED, { name: other }));
  for (const halves of split(said)) {
    if (halves.every((half) => known.has(half))) ways.push(way(halves, RUN_TOGETHER, { name: halves.join(" ") }));
  }
  return ways;
}

/**
 * What a word may stand for that is the beginning of another word, or a misspelt one, of the trade.
 *
 * @param {Token} token
 * @param {boolean} isLast
 * @param {Synonyms} synonyms
 * @param {Known} known
 */
function unfinished({ term, said }, isLast, synonyms, known) {
  if (known.has(term) || synonyms.of([term]).length) return [];
  const begun = isLast && said.length >= SHORTEST_PHRASE_BEGINNING ? synonyms.beginningWith(said) : [];
  const misspelt = begun.length ? [] : [...synonyms.words].filter((word) => isNear(term, word));
  const near = misspelt.flatMap((word) => synonyms.of([word]));
  const share = known.begins(said) ? UNFINISHED_BESIDE : UNFINISHED_PHRASE;
  return [...begun, ...near].slice(0, MOST_UNFINISHED).map((meaning, at) => meantWay(meaning, share / (at + 1)));
}

/**
 * A word with two neighbouring letters changed over, each in turn.
 *
 * @param {string} word
 */
function swapped(word) {
  return Array.from({ length: Math.max(0, word.length - 1) }, (_, at) =>
    word.slice(0, at) + word.charAt(at + 1) + word.charAt(at) + word.slice(at + 2),
  ).filter((other) => other !== word);
}

/**
 * Two words that were run together, split at each place.
 *
 * @param {string} word
 */
function split(word) {
  return Array.from({ length: Math.max(0, word.length - 2 * SHORTEST_HALF + 1) }, (_, at) => [
    stem(word.slice(0, at + SHORTEST_HALF)),
    stem(word.slice(at + SHORTEST_HALF)),
  ]);
}

/**
 * Whether two words differ by one letter, or by two neighbours changed over; in longer words by two letters.
 *
 * @param {string} a
 * @param {string} b
 */
export function isNear(a, b) {
  if (Math.min(a.length, b.length) < SHORTEST_MISSPELT) return false;
  const most = Math.max(a.length, b.length) > 7 ? 2 : 1;
  return Math.abs(a.length - b.length) <= most && distance(a, b) <= most;
}

/**
 * Letters put in, left out, changed, or changed over with a neighbour (optimal string alignment).
 *
 * @param {string} a
 * @param {string} b
 */
function distance(a, b) {
  /** @type {number[][]} */
  const rows = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  const at = (/** @type {number} */ i, /** @type {number} */ j) => rows[i]?.[j] ?? Infinity;
  for (let i = 1; i <= a.length; i += 1) {
    rows.push([i]);
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      const over = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1] ? at(i - 2, j - 2) + 1 : Infinity;
      rows[i]?.push(Math.min(at(i - 1, j) + 1, at(i, j - 1) + 1, at(i - 1, j - 1) + same, over));
    }
  }
  return at(a.length, b.length);
}
