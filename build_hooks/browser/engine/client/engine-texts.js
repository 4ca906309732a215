/** Why the engine gives no answer, and what to do. What is wrong with its files is in engine/load-problem.js. */

export const TEXTS = {
  silentStart: "it did not respond",
  silentStartMend: "Try again; if it still does not respond, use another browser or work it out by the formulas",
  ended: "the browser keeps stopping it",
  endedMend: "Close other pages, then reload this one; meanwhile, work it out by the formulas",
  noPlace: "its script could not be loaded",
  noPlaceMend: "Reload the page; if it fails again, ask whoever maintains this manual to build it again",
  stopped: "this calculation took too long and was stopped",
  stoppedMend: "Check the readings, or leave some choices out, and work it out again",
};
