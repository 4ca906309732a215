// Keeps the screen on, where the browser lets a page do that; says so where it does not.

const SAID = "set this screen to stay on";

/**
 * @param {HTMLElement | null} place where it is said
 */
export function keepAwake(place) {
  const lock = navigator.wakeLock;
  if (!lock) {
    if (place) place.textContent = SAID;
    return;
  }
  const ask = () => {
    if (document.visibilityState !== "visible") return;
    lock.request("screen").then(
      () => { if (place) place.textContent = ""; },
      () => { if (place) place.textContent = SAID; },
    );
  };
  // A lock is lost when the page is hidden, and some browsers want a touch first.
  document.addEventListener("visibilitychange", ask);
  document.addEventListener("pointerdown", ask, { once: true });
  ask();
}
