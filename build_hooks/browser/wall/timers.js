// Timers that were started on this machine, also on the wall: what is left, and Enter stops the sound.

import { Store } from "../page/store.js";
import { runTimers } from "../timer/run.js";

/**
 * Shows them below the screen, which is laid out anew when they need room.
 *
 * @param {string} assets address of the folder that the wall's script lies in: it tells manuals apart
 */
export function showTimers(assets) {
  const timers = runTimers(new Store(() => localStorage, `benchleaf:${new URL(".", assets).pathname}:`));
  const box = document.querySelector(".bench-timers");
  let height = 0;
  const makeRoom = () => {
    const now = box instanceof HTMLElement ? box.offsetHeight : 0;
    if (now === height) return;
    height = now;
    window.dispatchEvent(new Event("resize"));
  };
  for (const name of ["change", "tick"]) timers.addEventListener(name, makeRoom);
  makeRoom();
  // Before the keys of the screen: somebody at the bench wants the sound to stop, and not the next part.
  document.addEventListener(
    "keydown",
    (event) => {
      const due = timers.due();
      if (event.key !== "Enter" || due.length === 0) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      for (const { key } of due) timers.confirm(key);
    },
    { capture: true },
  );
}
