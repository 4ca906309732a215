/** The sentences of a calculation's panel. Those about the figures come from the Python engine. */

export const TEXTS = {
  starting: "Starting the calculator…",
  startingWithReadings: "Starting the calculator… Your readings will be worked out as soon as it is ready.",
  startingSlowly: (/** @type {number} */ percent) => `Starting the calculator… ${percent} % loaded.`,
  startingSlowlyWithReadings: (/** @type {number} */ percent) =>
    `Starting the calculator… ${percent} % loaded. Your readings will be worked out as soon as it is ready.`,
  ready: "Ready.",
  working: "Working it out…",
  workedOut: "Worked out.",
  retry: "Try again",
  changed: "These figures have changed: no answer.",
  outOfDate: "No answer yet. The previous one is out of date; a new one is being worked out.",
  notRunning: "No answer: the calculator is not running.",
  noAnswer: "No answer: see the problems above.",
  otherUnits: (/** @type {number} */ count, /** @type {string} */ unit) =>
    count === 1 ? `One reading is typed in ${inFull(unit)}.` : `${count} readings are typed in ${inFull(unit)}.`,
  convertTo: (/** @type {string} */ unit) => `Convert to ${inFull(unit)}`,
  clearThem: "Clear them",
  keepThem: "Leave them",
  convertedFrom: (/** @type {string} */ typed) => `converted from ${typed}, which counts`,
  trial: (/** @type {number} */ number) => `Trial ${number}`,
  earlierTrial: (/** @type {number} */ number) => `Trial ${number}: what was fitted and read`,
  goBackTo: (/** @type {number} */ number) => `Go back to trial ${number}`,
  nextTrial: "Next trial: parts changed, or read again",
  nextAsOrdered: "Parts changed as ordered: next trial",
  measured: (/** @type {string} */ thickness) => `measured ${thickness}`,
  readIn: (/** @type {number} */ number, /** @type {string} */ readings) => `Trial ${number}: ${readings}.`,
  stale: "A part has been changed since: read it again.",
  stillCounts: "Still counts: no part of this pack has been changed.",
  less: "less",
  partChanged: "Readings are filled in. Were they taken with another part than the one chosen now?",
  partWasChanged: "Yes, the part was changed: next trial",
  partReadAgain: "Yes, the part was changed: read again",
  partWasWrong: "No, only the form was wrong",
  asking: "No answer yet: say first what became of the part.",
  partBack: "Take my choice back",
  unfinished: "No answer yet: a reading is missing.",
  oneProblem: "There is a problem",
  problems: (/** @type {number} */ count) => `There are ${count} problems`,
  couldNotStart: (/** @type {string} */ why, /** @type {string} */ mend) =>
    `The calculator could not start: ${why}. ${mend}.`,
  failed: (/** @type {string} */ why, /** @type {string} */ mend) => `No answer: ${why}. ${mend}.`,
  takenFrom: (/** @type {string} */ title) => `taken from ${title}`,
};

/**
 * The unit as a word where its sign could be read as another.
 *
 * @param {string} unit
 */
function inFull(unit) {
  return unit === "in" ? "inch" : unit;
}
