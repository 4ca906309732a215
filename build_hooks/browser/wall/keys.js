// Keys of a keyboard and of a remote, brought to what they mean.

/** Digits typed within this time belong to one number. */
const DIGITS_WITHIN_MS = 1200;

/** @typedef {"left" | "right" | "above" | "below" | "next" | "back"} Move */

/** @type {Record<string, Move | "up" | "choose">} */
const MEANINGS = {
  ArrowRight: "right", ArrowDown: "below", ArrowLeft: "left", ArrowUp: "above",
  PageDown: "next", " ": "next", MediaTrackNext: "next", ChannelUp: "next",
  PageUp: "back", MediaTrackPrevious: "back", ChannelDown: "back",
  Enter: "choose", Escape: "up", Backspace: "up", GoBack: "up", BrowserBack: "up",
};

/**
 * @param {{ move(where: Move): void, up(): void, choose(event: KeyboardEvent): void, number(digits: string, isWhole: boolean): boolean }} on
 *   `number` is called for each digit, and once more, as whole, when no other follows; it answers whether there is such a number
 */
export function listen(on) {
  let digits = "";
  let timer = 0;
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (/^[0-9]$/.test(event.key)) {
      digits += event.key;
      clearTimeout(timer);
      timer = window.setTimeout(() => {
        const whole = digits;
        digits = "";
        on.number(whole, true);
      }, DIGITS_WITHIN_MS);
      // Two numbers in haste: 2 and 4, where there is no 24.
      if (!on.number(digits, false) && digits.length > 1) {
        digits = event.key;
        on.number(digits, false);
      }
      event.preventDefault();
      return;
    }
    const meaning = MEANINGS[event.key];
    if (!meaning) return;
    if (meaning === "choose") {
      on.choose(event);
      return;
    }
    // A button that has the focus is pressed by the space bar.
    if (event.key === " " && event.target instanceof HTMLButtonElement) return;
    if (meaning === "up") on.up();
    else on.move(meaning);
    event.preventDefault();
  });
}
