import { typedReadings } from "../form/next-entry.js";
import { emptyReading } from "../form/typed-amount.js";
import { TEXTS } from "../panel-texts.js";
import { partQuestion } from "./part-question.js";

/** The part that a form of one pack or shaft was read with. Its readings belong to it: none stands beside a part that came later. */
export class FittedPart {
  /**
   * @param {HTMLFormElement} form
   * @param {() => void} changed told when the question has been answered
   * @returns {FittedPart | null} null for a form without such a part
   */
  static in(form, changed) {
    const choices = form.querySelectorAll("select[data-bench=fitted-part]");
    const [choice] = choices;
    return choices.length === 1 && choice instanceof HTMLSelectElement ? new FittedPart(form, choice, changed) : null;
  }

  /**
   * @param {HTMLFormElement} form
   * @param {HTMLSelectElement} choice
   * @param {() => void} changed
   */
  constructor(form, choice, changed) {
    this.form = form;
    this.choice = choice;
    this.changed = changed;
    this.settled = choice.value;
  }

  /** Whether it has to be said first what became of the part. */
  get isAsking() {
    return this.#question() !== null;
  }

  /** @param {EventTarget | null} target an entry that has been changed */
  edited(target) {
    if (target !== this.choice) return;
    if (this.choice.value === this.settled) return this.#question()?.remove();
    if (typedReadings(this.form).length === 0) return this.settle();
    if (!this.isAsking) this.#ask();
  }

  /** What is chosen is what was read with. */
  settle() {
    this.#question()?.remove();
    this.settled = this.choice.value;
  }

  #ask() {
    const settled = () => (this.settle(), this.changed());
    const question = partQuestion({
      change: () => {
        const readings = typedReadings(this.form);
        for (const entry of readings) emptyReading(entry);
        settled();
        readings[0]?.focus();
      },
      correct: () => {
        settled();
        this.choice.focus();
      },
      back: () => {
        this.choice.value = this.settled;
        settled();
        this.choice.focus();
      },
    }, TEXTS.partReadAgain); // prettier-ignore
    (this.choice.closest(".bench-row") ?? this.choice).after(question);
    question.querySelector("button")?.focus();
  }

  #question() {
    return this.form.querySelector("[data-bench=part-question]");
  }
}
