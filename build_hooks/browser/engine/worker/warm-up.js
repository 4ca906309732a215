const LONGEST = 1000; // Milliseconds.
const ROUNDS = 20; // After these a runtime gains no more to speak of.

/**
 * Works on examples while nobody waits: a runtime that has just started is slow on code it has not run before. Each
 * example is a separate task, so that a reader's request waits for one of them at most.
 *
 * @param {string[]} names
 * @param {(name: string) => void} once works on one of them
 */
export function warmUp(names, once) {
  const end = performance.now() + LONGEST;
  const left = Array.from({ length: ROUNDS }, () => names).flat();
  const next = () => {
    const name = left.shift();
    if (name === undefined || performance.now() > end) return;
    once(name);
    setTimeout(next);
  };
  setTimeout(next);
}
