/** Why the engine gives no answer, and what to do. What is wrong with its files is in engine/load-problem.js. */

export const TEXTS = {
  silentStart: "it gave no sign of life",
  silentStartMend: "Try again; if it stays silent, use another browser or work it out by the formulas",
  ended: "the browser ends it again and again",
  endedMend: "Close other pages, then reload this one; work it out by the formulas meanwhile",
  noPlace: "its script could not be loaded",
  noPlaceMend: "Reload the page; if it fails again, ask whoever keeps this manual to build it again",
  stopped: "this calculation took too long and was stopped",
  stoppedMend: "Check the readings, or leave some choices out, and work it out again",
};
