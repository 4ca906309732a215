/** The words of the timers. */

export const TEXTS = {
  start: "Start",
  pause: "Pause",
  goOn: "Go on",
  putBack: "Reset",
  confirm: "Stop the sound",
  list: "Timers",
  over: "OVER",
  paused: "Paused",
  running: "Running",
  left: (/** @type {string} */ left) => `${left} left`,
  endsAt: (/** @type {string} */ time) => `over at ${time}`,
  overSince: (/** @type {string} */ time) => `over since ${time}`,
  missed: (/** @type {string} */ time) =>
    `Nothing ran here until ${time}: this device slept or the manual was closed, so no sound was heard.`,
  isOver: (/** @type {string} */ title) => `${title}: time is over.`,
  started: (/** @type {string} */ title, /** @type {string} */ time) => `${title}: started, over at ${time}.`,
  silent: "This browser plays no sound before you press something on this page.",
  notKept: "This browser stores nothing: the timer stops if you leave this page.",
};
