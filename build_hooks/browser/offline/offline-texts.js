/** The sentences about storing the manual. */
export const TEXTS = {
  newEdition: "A new edition is available.",
  noRoom: "There is no room to store it beside the old one.",
  load: "Load it",
  later: "Later",
  withoutHttps:
    "Served without https: this manual cannot be stored for use without the network, and the wall view cannot keep its screen on.",
  withoutWorker: "This browser cannot store this manual for use without the network.",
  lately: "there was no room for it less than an hour ago",
  notKept: (/** @type {string} */ why) =>
    `Benchleaf: this edition could not be stored for use without the network: ${why}. The manual works as before.`,
};
