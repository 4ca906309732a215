import { makeNode } from "./node-maker.js";

/**
 * The place of the answer. An answer that no longer belongs to the figures above it never stands there as one.
 */
export class ResultView {
  /** @param {HTMLElement} section */
  constructor(section) {
    this.section = section;
    this.example = Array.from(section.childNodes);
    this.verdict = section.dataset.verdict ?? "";
    this.isExample = section.dataset.example === "true";
  }

  /** @param {import("../jobs.js").Answer} answer */
  show({ reply, panel }) {
    this.#put(panel ? [makeNode(panel)] : [], String(reply.result?.verdict ?? ""));
    this.section.dataset.reply = JSON.stringify(reply);
  }

  /** The figures have changed and the answer to them is on its way. */
  awaitAnswer() {
    if (this.section.dataset.example === "true") return;
    this.section.dataset.verdict = "";
    this.section.dataset.stale = "waiting";
    delete this.section.dataset.reply;
  }

  /**
   * There is no answer to the figures as they stand.
   *
   * @param {string} words
   */
  showNone(words) {
    const said = document.createElement("p");
    said.className = "bench-no-answer";
    said.textContent = words;
    this.#put([said], "");
    this.section.dataset.stale = "true";
  }

  /** Puts the worked example back. */
  reset() {
    this.#put(this.example, this.verdict);
    if (this.isExample) this.section.dataset.example = "true";
  }

  /**
   * @param {Node[]} content
   * @param {string} verdict
   */
  #put(content, verdict) {
    this.section.replaceChildren(...content);
    this.section.dataset.verdict = verdict;
    delete this.section.dataset.example;
    delete this.section.dataset.stale;
    delete this.section.dataset.reply;
  }
}
