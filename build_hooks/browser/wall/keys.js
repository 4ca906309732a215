// Keys of a keyboard and of a remote, brought to what they mean.

/** Digits typed within this time belong to one number. */
const DIGITS_WITHIN_MS = 1200;

/** @type {Record<string, "next" | "back" | "up" | "choose">} */
const MEANINGS = {
  ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", MediaTrackNext: "next", ChannelUp: "next",
  ArrowLeft: "back", ArrowUp: "back", PageUp: "back", MediaTrackPrevious: "back", ChannelDown: "back",
  Enter: "choose", Escape: "up", Backspace: "up", GoBack: "up", BrowserBack: "up",
};

/**
 * @param {{ next(): void, back(): void, up(): void, choose(event: KeyboardEvent): void, number(digits: string): void }} on
 */
export function listen(on) {
  let digits = "";
  let timer = 0;
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (/^[0-9]$/.test(event.key)) {
      digits += event.key;
      clearTimeout(timer);
      timer = window.setTimeout(() => { digits = ""; }, DIGITS_WITHIN_MS);
      on.number(digits);
      event.preventDefault();
      return;
    }
    const meaning = MEANINGS[event.key];
    if (!meaning) return;
    if (meaning === "choose") on.choose(event);
    else {
      on[meaning]();
      event.preventDefault();
    }
  });
}
