/** The words of the gears. */

export const TEXTS = {
  choose: "Gear",
  gear: (/** @type {string} */ name) => `Gear ${name}`,
  hint: "Choose a gear, or step through with the arrow keys.",
};
