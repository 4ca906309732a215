let isDown = false;
/** @type {(() => void)[]} */
let waiting = [];

/** Begins to notice presses; once for each page. */
export function watchPresses() {
  addEventListener("pointerdown", () => (isDown = true), { capture: true });
  addEventListener("click", () => (isDown = false), { capture: true }); // What a press asks for is drawn at once.
  // The click comes after its pointer has gone up.
  for (const name of ["pointerup", "pointercancel"]) addEventListener(name, () => setTimeout(lifted), { capture: true });
  addEventListener("blur", lifted); // The window's own: where it lifts then nobody tells.
}

/**
 * Draws something anew, but not while something is pressed: what is replaced between a finger's going down and its lifting is not pressed.
 *
 * @param {() => void} draw
 */
export function afterPress(draw) {
  if (isDown) waiting.push(draw);
  else draw();
}

function lifted() {
  isDown = false;
  const all = waiting;
  waiting = [];
  for (const draw of all) draw();
}
