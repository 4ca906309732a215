/** The sentences of a calculation's panel. Those about the figures come from the Python engine. */

export const TEXTS = {
  starting: "Starting the calculator…",
  startingWithReadings: "Starting the calculator… These readings are answered as soon as it is ready.",
  startingSlowly: (/** @type {number} */ percent) => `Starting the calculator… ${percent} % of it has come.`,
  startingSlowlyWithReadings: (/** @type {number} */ percent) =>
    `Starting the calculator… ${percent} % of it has come. These readings are answered as soon as it is ready.`,
  ready: "Ready.",
  working: "Working it out…",
  workedOut: "Worked out.",
  retry: "Try again",
  changed: "These figures have changed: no answer.",
  outOfDate: "No answer yet. What stood here is out of date; it is being worked out again.",
  notRunning: "No answer: the calculator is not running.",
  noAnswer: "No answer: see the problems above.",
  unfinished: "No answer yet: a reading is missing.",
  oneProblem: "There is a problem",
  problems: (/** @type {number} */ count) => `There are ${count} problems`,
  couldNotStart: (/** @type {string} */ why, /** @type {string} */ mend) =>
    `The calculator could not start: ${why}. ${mend}.`,
  failed: (/** @type {string} */ why, /** @type {string} */ mend) => `No answer: ${why}. ${mend}.`,
  takenFrom: (/** @type {string} */ title) => `taken from ${title}`,
};
