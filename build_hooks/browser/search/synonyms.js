/** What else people call things: a table of phrases, and what a phrase may stand for. */

import { chunksOf, isEmpty, stem, wordsOf } from "./terms.js";

/** A group of the index: a word as the manual writes it, other words for it, and how it gets misspelt.
 * @typedef {[word: string, also: string[], misspelt: string[]]} WordGroup
 */

/** What a phrase may stand for.
 * @typedef {{ words: string[], weight: number, name: string, isTheWord: boolean }} Meaning
 */

/** How much a find by another word counts beside one by the word itself. */
const AS_THE_WORD = 0.9;
const AS_ANOTHER = 0.45;
/** Phrases have no more words than this. */
const LONGEST = 5;
/** What has more words than this describes a thing; it is understood, but not looked for. */
const LONGEST_NAME = 2;

/**
 * The words of a phrase as they are compared; joined words count as two.
 *
 * @param {string} phrase
 */
export function phraseWords(phrase) {
  const words = chunksOf(phrase).flatMap((chunk) => wordsOf(chunk.text));
  const telling = words.filter((word) => !isEmpty(word));
  return (telling.length ? telling : words).map(stem);
}

export class Synonyms {
  /** @type {Map<string, Meaning[]>} by the words of the phrase */
  #meanings = new Map();
  /** @type {Set<string>} single words that occur in any phrase */
  #words = new Set();

  /** @param {readonly WordGroup[]} groups */
  constructor(groups) {
    for (const [word, also, misspelt] of groups) {
      const own = phraseWords(word);
      const others = also.map((name) => ({ name, words: phraseWords(name), short: name.split(" ").length <= LONGEST_NAME }));
      const theWord = { words: own, weight: AS_THE_WORD, name: word, isTheWord: true };
      for (const other of others) this.#put(other.words, theWord);
      for (const wrong of misspelt) this.#put(phraseWords(wrong), theWord);
      for (const from of [own, ...others.map((other) => other.words)]) {
        for (const other of others) {
          // A piece of the word itself (friction, of friction plate) would find too much, and so would a whole description.
          const isPiece = other.words.every((piece) => own.includes(piece) || from.includes(piece));
          if (other.short && !isPiece) {
            this.#put(from, { words: other.words, weight: AS_ANOTHER, name: other.name, isTheWord: false });
          }
        }
      }
    }
  }

  /**
   * @param {string[]} from
   * @param {Meaning} meaning
   */
  #put(from, meaning) {
    const key = from.join(" ");
    if (!from.length || key === meaning.words.join(" ")) return;
    const known = this.#meanings.get(key) ?? [];
    if (!known.some((other) => other.words.join(" ") === meaning.words.join(" "))) known.push(meaning);
    this.#meanings.set(key, known);
    for (const word of from) this.#words.add(word);
  }

  /** The longest phrase that starts at a word of a query.
   * @param {readonly string[]} words
   * @param {number} at
   * @returns {number} how many words it has; 0 if none starts there
   */
  longestAt(words, at) {
    for (let count = Math.min(LONGEST, words.length - at); count > 0; count -= 1) {
      if (this.#meanings.has(words.slice(at, at + count).join(" "))) return count;
    }
    return 0;
  }

  /**
   * What a phrase may stand for.
   *
   * @param {readonly string[]} words
   * @returns {readonly Meaning[]}
   */
  of(words) {
    return this.#meanings.get(words.join(" ")) ?? [];
  }

  /**
   * What a phrase stands for that has not been typed to its end.
   *
   * @param {string} start of a word or phrase
   * @returns {readonly Meaning[]} the nearest first
   */
  beginningWith(start) {
    const found = [...this.#meanings.keys()].filter((key) => key.startsWith(start)).sort((a, b) => a.length - b.length);
    return found.flatMap((key) => this.#meanings.get(key) ?? []).filter((meaning) => meaning.isTheWord);
  }

  /** The single words of all phrases, for typing errors in them.
   * @returns {ReadonlySet<string>}
   */
  get words() {
    return this.#words;
  }
}
