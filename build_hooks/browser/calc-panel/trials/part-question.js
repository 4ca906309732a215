import { button, make } from "../../page/make.js";
import { TEXTS } from "../panel-texts.js";

/**
 * What a part chosen beneath readings means.
 *
 * @param {{change: () => void, correct: () => void, back: () => void}} answers
 * @param {string} [changed] what follows when the part was changed
 */
export function partQuestion({ change, correct, back }, changed = TEXTS.partWasChanged) {
  return make(
    "div",
    { "data-bench": "part-question", class: "bench-question", role: "group", "aria-label": TEXTS.partChanged },
    make("p", {}, TEXTS.partChanged),
    button(changed, change),
    button(TEXTS.partWasWrong, correct),
    button(TEXTS.partBack, back),
  );
}
