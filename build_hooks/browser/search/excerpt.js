/** Texts with the words marked that were found, and the piece of a long text that shows them best. */

import { chunksOf, chunkTerms } from "./terms.js";

/** A piece of a text, found or not.
 * @typedef {{ text: string, found: boolean }} Piece
 */

/** How much of a text is shown, in characters, and how much of that may precede the first find. */
const LONGEST = 170;
const BEFORE = 50;
const CUT = "…";

/**
 * The whole text.
 *
 * @param {string} text
 * @param {ReadonlySet<string>} terms
 * @returns {Piece[]}
 */
export function marked(text, terms) {
  return cutUp(text, 0, text.length, foundChunks(text, terms));
}

/**
 * The piece of a text with most of the terms.
 *
 * @param {string} text
 * @param {ReadonlySet<string>} terms
 * @returns {Piece[]}
 */
export function excerpt(text, terms) {
  const chunks = foundChunks(text, terms);
  const start = wordStart(text, Math.max(0, bestStart(chunks) - BEFORE));
  const end = wordEnd(text, start + LONGEST);
  const pieces = cutUp(text, start, end, chunks);
  if (start > 0) pieces.unshift({ text: `${CUT} `, found: false });
  if (end < text.length) pieces.push({ text: ` ${CUT}`, found: false });
  return pieces;
}

/** @typedef {import("./terms.js").Chunk & { terms: string[] }} FoundChunk */

/**
 * @param {string} text
 * @param {ReadonlySet<string>} terms
 * @returns {FoundChunk[]}
 */
function foundChunks(text, terms) {
  return chunksOf(text)
    .map((chunk) => ({ ...chunk, terms: chunkTerms(chunk.text).filter((term) => terms.has(term)) }))
    .filter((chunk) => chunk.terms.length);
}

/**
 * Where the stretch begins that holds most different terms.
 *
 * @param {readonly FoundChunk[]} chunks
 */
function bestStart(chunks) {
  let best = { start: 0, count: 0 };
  for (const [index, first] of chunks.entries()) {
    const last = first.start + LONGEST - BEFORE;
    const inside = chunks.slice(index, index + LONGEST).filter((chunk) => chunk.end <= last);
    const count = new Set(inside.flatMap((chunk) => chunk.terms)).size;
    if (count > best.count) best = { start: first.start, count };
  }
  return best.start;
}

/**
 * @param {string} text
 * @param {number} start
 * @param {number} end
 * @param {readonly FoundChunk[]} chunks
 * @returns {Piece[]}
 */
function cutUp(text, start, end, chunks) {
  /** @type {Piece[]} */
  const pieces = [];
  let at = start;
  for (const chunk of chunks.filter((one) => one.start >= start && one.end <= end)) {
    pieces.push({ text: text.slice(at, chunk.start), found: false }, { text: text.slice(chunk.start, chunk.end), found: true });
    at = chunk.end;
  }
  pieces.push({ text: text.slice(at, end), found: false });
  return pieces.filter((piece) => piece.text);
}

/**
 * @param {string} text
 * @param {number} at
 */
function wordStart(text, at) {
  return at === 0 ? 0 : text.indexOf(" ", at) + 1 || at;
}

/**
 * @param {string} text
 * @param {number} at
 */
function wordEnd(text, at) {
  if (at >= text.length) return text.length;
  const space = text.lastIndexOf(" ", at);
  // A word of more than the whole length is cut where it must be.
  return space > at - LONGEST ? space : at;
}
