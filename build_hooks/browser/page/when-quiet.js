const LATEST = 1500; // Milliseconds after the first paint, however busy the page is.

/**
 * After the first paint.
 *
 * @param {() => void} then
 */
export function afterPaint(then) {
  // A page in a background tab paints nothing: there it begins when it is looked at.
  requestAnimationFrame(() => setTimeout(then));
}

/**
 * After the first paint, when the browser has nothing better to do.
 *
 * @param {() => void} then
 */
export function whenQuiet(then) {
  afterPaint(() => whenIdle(then));
}

/** @param {() => void} then */
function whenIdle(then) {
  if (window.requestIdleCallback) window.requestIdleCallback(then, { timeout: LATEST });
  else setTimeout(then, 100);
}
