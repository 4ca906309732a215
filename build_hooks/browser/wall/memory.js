// Where the wall was, so that it comes back there after the power has been out.

const KEY = "benchleaf-wall:";

/** The step of a stack or chart of which only the first screen was seen. */
export const NOT_BEGUN = "";

/** @returns {string} the folder of the wall view: manuals of several folders share one store on file:// */
function site() {
  const path = location.pathname;
  return path.slice(0, path.lastIndexOf("/wall/"));
}

/**
 * @param {{ path: string, title: string, step: string, said: string }} place `step` is its id, `said` what the screen says of it
 */
export function remember(place) {
  try {
    localStorage.setItem(KEY + site(), JSON.stringify(place));
  } catch {
    // Storage refused or full: the wall works, it only forgets.
  }
}

/** @returns {{ path: string, title: string, step: string, said: string } | null} */
export function recall() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY + site()) ?? "null");
    const sound = kept && [kept.path, kept.title, kept.step, kept.said].every((part) => typeof part === "string");
    return sound && /^[\w-]+\/[\w-]+$/.test(kept.path) ? kept : null;
  } catch {
    return null;
  }
}
