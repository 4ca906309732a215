/** Where a note goes: under its word, above it where there is no room below, and never off the side of the window. */

/**
 * @typedef {object} Box
 * @property {number} left
 * @property {number} top
 * @property {number} width
 * @property {number} height
 */

const GAP = 6;
const MARGIN = 8;

/**
 * All lengths in CSS pixels of the window.
 *
 * @param {Box} word the first line of the word
 * @param {{width: number, height: number}} note
 * @param {{width: number, height: number}} view
 * @param {number} taken how much of the top of the window is covered by the page's header
 * @returns {{left: number, top: number}}
 */
export function placeOf(word, note, view, taken = 0) {
  const below = word.top + word.height + GAP;
  const above = word.top - GAP - note.height;
  const fitsBelow = below + note.height <= view.height - MARGIN;
  const rightmost = view.width - MARGIN - note.width;
  return {
    left: Math.max(MARGIN, Math.min(word.left, rightmost)),
    top: fitsBelow || above < taken + MARGIN ? below : above,
  };
}
