import { button, make } from "../../page/make.js";
import { TEXTS } from "../panel-texts.js";

/**
 * What a part chosen beneath readings means.
 *
 * @param {{change: () => void, correct: () => void, back: () => void}} answers
 */
export function partQuestion({ change, correct, back }) {
  return make(
    "div",
    { "data-bench": "part-question", class: "bench-question", role: "group", "aria-label": TEXTS.partChanged },
    make("p", {}, TEXTS.partChanged),
    button(TEXTS.partWasChanged, change),
    button(TEXTS.partWasWrong, correct),
    button(TEXTS.partBack, back),
  );
}
