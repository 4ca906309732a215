/** The words of the page on which call-outs are placed. */

export const TEXTS = {
  words: (/** @type {number} */ number) => `Words of call-out ${number}`,
  mark: (/** @type {number} */ number) => `Call-out ${number} on the picture`,
  place: (/** @type {number[]} */ [across, down]) => `${across} % from the left edge, ${down} % from the upper edge`,
  of: (/** @type {string} */ action, /** @type {number} */ number) => `${action}: call-out ${number}`,
  up: "Up",
  down: "Down",
  move: "Move",
  remove: "Remove",
  moving: (/** @type {number} */ number) => `Click or tap where number ${number} belongs, or move it with the arrow keys. Escape leaves it.`,
  copied: "Copied. Paste it into the page.",
  selected: "It is selected. Copy it with Ctrl+C.",
  silent: "benchleaf photo does not answer. Start it again; what stands here is kept.",
  taken: "Taken over.",
  anew: "Begin again",
  sure: "Press again: everything here goes",
};
