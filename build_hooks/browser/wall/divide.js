// A text that is too long for one screen, cut into pieces that each fit.

/**
 * @param {HTMLElement} chunk a signal word, perhaps, and its text
 * @param {HTMLElement} frame where it is shown
 * @param {() => boolean} fits whether the content of the frame fits
 * @returns {HTMLElement[]}
 */
export function divided(chunk, frame, fits) {
  // What is made of several pieces, tags or names, is no text to cut.
  if (chunk.tagName !== "P") return [chunk];
  // The signal word is repeated over each piece.
  const word = chunk.querySelector("strong");
  let rest = (chunk.lastChild?.textContent ?? "").trim();
  if (!rest) return [chunk];
  /** @type {HTMLElement[]} */
  const pieces = [];
  while (rest) {
    const end = longest(rest, (text) => {
      frame.replaceChildren(piece(chunk, word, text));
      return fits();
    });
    const text = rest.slice(0, end).trimEnd();
    rest = rest.slice(end).trimStart();
    pieces.push(piece(chunk, word, rest ? `${text} …` : text));
  }
  return pieces;
}

/**
 * @param {HTMLElement} chunk
 * @param {Element | null} word
 * @param {string} text
 * @returns {HTMLElement}
 */
function piece(chunk, word, text) {
  const made = /** @type {HTMLElement} */ (chunk.cloneNode(false));
  if (word) made.append(word.cloneNode(true), " ");
  made.append(text);
  return made;
}

/**
 * How many characters of a text fit, up to the end of a word where there is one.
 * @param {string} text
 * @param {(text: string) => boolean} fits
 * @returns {number}
 */
function longest(text, fits) {
  if (fits(text)) return text.length;
  let low = 0;
  let high = text.length;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (fits(`${text.slice(0, middle)} …`)) low = middle;
    else high = middle;
  }
  const space = text.lastIndexOf(" ", low);
  // At least one character goes on each screen: the text must come to an end.
  return Math.max(space > 0 ? space : low, 1);
}
