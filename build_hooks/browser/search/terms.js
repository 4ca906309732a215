/**
 * From text to the terms that are compared: the same for what the manual says and for what is typed.
 *
 * Words lose case, accents and their plural. A part number or a figure stays whole without its hyphens and dots
 * (FR-157: fr157) and in its pieces (fr, 157), so that any way of writing it finds it.
 */

/** A word, or several joined by the marks used inside part numbers, figures and joined words. */
const CHUNK = /[\p{L}\p{N}]+(?:[.,'’/\-‐‑][\p{L}\p{N}]+)*/gu;
const JOINTS = /[.,'’/\-‐‑]/u;
const DIGIT = /\p{N}/u;
/** Where letters meet figures inside a part number. */
const SEAM = /(?<=\p{L})(?=\p{N})|(?<=\p{N})(?=\p{L})/u;
/** A figure with its unit written close behind it. */
const WITH_UNIT = /^([\d.,/]+)(mm|in|cm|psi|kpa|bar|nm|lbf)$/u;
/** The forms of verbs that no rule makes, each with the verb as it is compared. */
const VERB_OF = new Map(
  Object.entries({
    bend: "bent",
    bind: "bound",
    blow: "blew blown",
    break: "broke broken",
    build: "built",
    burn: "burnt",
    com: "came",
    choos: "chose chosen",
    driv: "drove driven",
    fall: "fell fallen",
    feel: "felt",
    find: "found",
    forget: "forgot forgotten",
    freez: "froze frozen",
    hold: "held",
    keep: "kept",
    leak: "leakage",
    loos: "loosen",
    los: "lost",
    rebuild: "rebuilt",
    shak: "shook shaken",
    shrink: "shrank shrunk",
    sink: "sank sunk",
    slid: "slide",
    spin: "spun",
    stick: "stuck",
    swell: "swollen",
    tear: "tore torn",
    throw: "threw thrown",
    tight: "tighten",
    wear: "wore worn",
    wind: "wound",
  }).flatMap(([verb, forms]) => forms.split(" ").map((form) => /** @type {const} */ ([form, verb]))),
);
const MARKS = /\p{M}+/gu;

/** Words that say nothing of what is meant, English and Spanish. */
const EMPTY = new Set(
  [
    "a also am an and any anybody anything are as at be because been being but by can could did do does for from get gets go",
    "goes going got had happen happens has have he how i if in into is it its just know let lets long many me mean means much must",
    "my need needs no not of ok okay on or our please really said say says shall she should show so some somebody someone something",
    "still tell than that the their them then there these they thing things this to too us very want wants was we were what when where",
    "which who whose why will with would you your",
    // What is left of the short forms: don’t, isn’t, it’ll, they’ve.
    "aren couldn d didn doesn don hadn hasn haven isn ll m re shouldn t ve wasn weren won wouldn",
    "al como con cual cuando cuanto cuantos de del donde el en es esta este la las lo los mi para por que se si sin su un una y",
  ].flatMap((line) => line.split(" ")),
);

/**
 * Whether a word says nothing of what is meant.
 *
 * @param {string} word folded
 */
export function isEmpty(word) {
  return EMPTY.has(word);
}

/**
 * Without case and accents.
 *
 * @param {string} text
 */
export function folded(text) {
  return text.normalize("NFKD").replace(MARKS, "").toLowerCase();
}

/**
 * A chunk of a text, with its place.
 *
 * @typedef {{ text: string, start: number, end: number }} Chunk
 */

/**
 * @param {string} text
 * @returns {Chunk[]}
 */
export function chunksOf(text) {
  return [...text.matchAll(CHUNK)].map((match) => ({
    text: match[0],
    start: match.index,
    end: match.index + match[0].length,
  }));
}

/**
 * Every term that a text is found by.
 *
 * @param {string} text
 */
export function termsOf(text) {
  return chunksOf(text).flatMap((chunk) => chunkTerms(chunk.text));
}

/**
 * The terms of one chunk: its words, or its number whole and in pieces.
 *
 * @param {string} chunk
 * @returns {string[]}
 */
export function chunkTerms(chunk) {
  const plain = folded(chunk);
  if (DIGIT.test(plain)) return numberTerms(plain);
  const words = wordsOf(plain);
  const terms = words.map(stem);
  return words.length > 1 && !/['’]/u.test(plain) ? [...terms, stem(words.join(""))] : terms;
}

/**
 * The words of a chunk without a figure; joined words are several, and what belongs to somebody loses its ending.
 *
 * @param {string} chunk
 */
export function wordsOf(chunk) {
  return folded(chunk).split(JOINTS).filter((word, index) => word && !(index > 0 && word === "s"));
}

/**
 * @param {string} plain
 * @returns {string[]}
 */
function numberTerms(plain) {
  const [figure, ...unit] = withoutUnit(plain);
  return [...new Set([joined(figure), ...numberPieces(figure)]), ...unit];
}

/**
 * A figure and the unit written close behind it apart; anything else as it is.
 *
 * @param {string} plain folded
 * @returns {[string, ...string[]]}
 */
export function withoutUnit(plain) {
  const [, figure, unit] = WITH_UNIT.exec(plain) ?? [];
  return figure && unit ? [figure, unit] : [plain];
}

/**
 * A part number or figure without the marks between its parts.
 *
 * @param {string} plain
 */
export function joined(plain) {
  return plain.split(JOINTS).join("");
}

/**
 * Its letters and figures apart, those with leading zeros also without them; single figures of a decimal are left out, for
 * they say nothing.
 *
 * @param {string} plain
 * @returns {string[]}
 */
export function numberPieces(plain) {
  const pieces = plain.split(JOINTS).flatMap((part) => part.split(SEAM));
  const isDecimal = /^[\d.,]+$/u.test(plain) && pieces.length > 1;
  const kept = pieces.filter((piece) => piece && !(isDecimal && piece.length === 1));
  return kept.flatMap((piece) => {
    const bare = piece.replace(/^0+(?=\d\d)/u, "");
    return bare === piece ? [piece] : [piece, bare];
  });
}

/** @param {string} text */
export function hasDigit(text) {
  return DIGIT.test(text);
}

/**
 * An English or Spanish word without its plural, without the ending that it has when something is being done or was done, and
 * without the one that makes a quality of a thing (noisy, leaky) or says how (evenly).
 * Light on purpose: what it takes away is the same on both sides, and a word that is not English loses little.
 *
 * @param {string} word folded
 */
export function stem(word) {
  const plain = withoutDoing(singular(word));
  return VERB_OF.get(plain) ?? withoutMute(plain);
}

/** @param {string} word */
function singular(word) {
  if (word.length < 4 || !word.endsWith("s") || /(?:ss|us|is)$/u.test(word)) return word;
  if (word.endsWith("ies") && word.length > 4) return `${word.slice(0, -3)}y`;
  if (/(?:sh|ch|x|ss|z)es$/u.test(word)) return word.slice(0, -2);
  return word.slice(0, -1);
}

/** @param {string} word */
function withoutDoing(word) {
  if (word.endsWith("ied") && word.length > 4) return `${word.slice(0, -3)}y`;
  const bare = word.replace(/(?:ing|ed)$/u, "");
  // What is left must still be a word: ring, bed and spring keep their ends.
  if (bare === word || bare.length < 3 || !/[aeiouy]/u.test(bare)) return word;
  return /([bdfgmnprt])\1$/u.test(bare) ? bare.slice(0, -1) : bare;
}

/** @param {string} word */
function withoutMute(word) {
  const bare = word.replace(/(?<=[a-z]{4})(?:(?<![bp])ly|ness)$/u, "");
  return bare.length > 4 ? bare.replace(/(?:e|(?<![aeiou])[iy])$/u, "") : bare;
}
