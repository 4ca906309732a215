import { digestOfText } from "../digest.js";
import { wrongAnswer } from "../load-problem.js";

/** @typedef {import("../protocol.js").Known} Known */

/** An engine that answers nothing before it has given the right answers to the known questions of that calculation. */
export class Proof {
  /** @type {Map<string, Known[]>} questions not asked yet */
  #left = new Map();

  /**
   * @param {import("./start.js").AnswerForPage} answer
   * @param {Record<string, Known[]>} known
   */
  constructor(answer, known) {
    this.answer = answer;
    this.known = known;
  }

  /**
   * Asks all that is left to ask.
   *
   * @param {string} calculation
   * @throws {import("../load-problem.js").LoadProblem} an answer differs from the one that was found when the manual was built
   */
  prove(calculation) {
    while (this.#open(calculation).length) this.practise(calculation);
  }

  /**
   * Asks one known question; when all have been asked, one of them again for nobody.
   *
   * @param {string} calculation
   * @throws {import("../load-problem.js").LoadProblem} as `prove`
   */
  practise(calculation) {
    const known = this.#open(calculation).shift() ?? this.#questions(calculation)[0];
    if (known && this.#digest(calculation, known.request) !== known.answer) throw wrongAnswer(calculation);
  }

  /** @param {string} calculation */
  #open(calculation) {
    const open = this.#left.get(calculation) ?? [...this.#questions(calculation)];
    this.#left.set(calculation, open);
    return open;
  }

  /** @param {string} calculation */
  #questions(calculation) {
    return Object.hasOwn(this.known, calculation) ? this.known[calculation] ?? [] : [];
  }

  /**
   * @param {string} calculation
   * @param {string} request
   */
  #digest(calculation, request) {
    try {
      return digestOfText(this.answer(calculation, request));
    } catch (fault) {
      console.error("Benchleaf: the engine failed on a known question.", fault);
      return "";
    }
  }
}
