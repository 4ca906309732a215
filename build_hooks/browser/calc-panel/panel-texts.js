/** Every sentence that the page's script says, in one place. Those of the engine come from the engine. */

export const WORDS = {
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
  silentStart: "it gave no sign of life",
  silentStartMend: "Try again; if it stays silent, use another browser or work it out by the formulas",
  ended: "the browser ends it again and again",
  endedMend: "Close other pages, then reload this one; work it out by the formulas meanwhile",
  noPlace: "its script could not be loaded",
  noPlaceMend: "Reload the page; if it fails again, ask whoever keeps this manual to build it again",
  stopped: "this calculation took too long and was stopped",
  stoppedMend: "Check the readings, or leave some choices out, and work it out again",
  oneProblem: "There is a problem",
  problems: (/** @type {number} */ count) => `There are ${count} problems`,
  needAttention: (/** @type {number} */ count) =>
    count === 1 ? "1 entry needs attention." : `${count} entries need attention.`,
  couldNotStart: (/** @type {string} */ why, /** @type {string} */ mend) =>
    `The calculator could not start: ${why}. ${mend}.`,
  failed: (/** @type {string} */ why, /** @type {string} */ mend) => `No answer: ${why}. ${mend}.`,
  takenFrom: (/** @type {string} */ title) => `taken from ${title}`,
};
