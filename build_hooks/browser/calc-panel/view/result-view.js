import { TEXTS } from "../panel-texts.js";
import { make } from "../../page/make.js";
import { makeNode } from "../../page/node-maker.js";

/**
 * The answer's place. An answer that no longer belongs to the figures above is never shown as current.
 */
export class ResultView {
  /** @param {HTMLElement} section */
  constructor(section) {
    this.section = section;
    this.example = Array.from(section.childNodes);
    this.verdict = section.dataset.verdict ?? "";
    this.isExample = section.dataset.example === "true";
  }

  /** @param {import("../../engine/client/jobs.js").Answer} answer */
  show({ reply, panel }) {
    this.#put(panel ? [this.#led(makeNode(panel))] : [], panel?.[1]["data-verdict"] ?? "");
    this.section.dataset.reply = JSON.stringify(reply);
  }

  /** Who asked for the answer sees it, though the last reading may stand a screen above. Where they type stays where it was. */
  bringIntoSight() {
    (this.section.querySelector(".bench-verdict") ?? this.section).scrollIntoView({ block: "nearest" });
  }

  /**
   * Puts links beside what the manual has pages about; the form says which.
   *
   * @param {Node} answer
   */
  #led(answer) {
    const leads = this.section.closest("form")?.querySelector("[data-bench=leads]")?.textContent;
    if (!leads || !(answer instanceof Element)) return answer;
    const known = /** @type {Record<string, [string, string][]>} */ (JSON.parse(leads));
    for (const named of answer.querySelectorAll("[data-leads]")) {
      const links = known[named.getAttribute("data-leads") ?? ""] ?? [];
      if (links.length) {
        named.append(make("ul", { class: "bench-leads" }, ...links.map(([title, href]) => make("li", {}, make("a", { href }, title)))));
      }
    }
    return answer;
  }

  /** The figures have changed and the answer to them is on its way: the one shown is marked as out of date. */
  awaitAnswer() {
    const isAnswer = this.section.dataset.example !== "true" && !this.section.querySelector(".bench-no-answer");
    if (!isAnswer) this.#put([saying("bench-no-answer", TEXTS.working)], "");
    this.section.dataset.stale = "waiting";
    if (!isAnswer || this.section.querySelector(".bench-obsolete")) return;
    this.section.dataset.verdict = "";
    delete this.section.dataset.reply;
    this.section.prepend(saying("bench-obsolete", TEXTS.outOfDate));
  }

  /** No answer is awaited any more, and the worked example may be shown again. */
  keepExample() {
    if (this.section.dataset.example === "true") delete this.section.dataset.stale;
  }

  /**
   * There is no answer to the present figures.
   *
   * @param {string} words
   */
  showNone(words) {
    this.#put([saying("bench-no-answer", words)], "");
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

/**
 * @param {import("../../page/node-maker.js").ElementData} panel an answer as data
 * @param {string} output
 * @returns {string | undefined} how an output is shown in it
 */
export function outputIn([, attributes, children], output) {
  if (attributes["data-output"] === output) return children.filter((child) => typeof child === "string").join("");
  for (const child of children) {
    const found = typeof child === "string" ? undefined : outputIn(child, output);
    if (found !== undefined) return found;
  }
  return undefined;
}

/**
 * @param {string} name of its class
 * @param {string} words
 */
function saying(name, words) {
  const said = document.createElement("p");
  said.className = name;
  said.textContent = words;
  return said;
}
