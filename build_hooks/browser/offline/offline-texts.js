/** What the page says about keeping the manual, in one place. */
export const TEXTS = {
  newEdition: "A new edition is here.",
  noRoom: "There is no room to keep it beside the old one.",
  load: "Load it",
  later: "Later",
  withoutHttps:
    "Served without https: this manual cannot be kept for use without the network, and the wall view cannot keep its screen on.",
  withoutWorker: "This browser cannot keep this manual for use without the network.",
  lately: "there was no room for it when it was tried last, within the hour",
  notKept: (/** @type {string} */ why) =>
    `Benchleaf: this edition could not be kept for use without the network: ${why}. The manual works as before.`,
};
