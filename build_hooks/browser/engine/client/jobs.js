import { ENGINE_FAULT } from "../protocol.js";
import { TEXTS } from "./engine-texts.js";

/** @typedef {import("../protocol.js").Trouble} Trouble */

/**
 * @typedef {object} Answer what the engine gives for a request
 * @property {Record<string, any> & {ok: boolean}} reply the same object as the command line's
 * @property {import("../../page/node-maker.js").ElementData | null} panel
 */

/**
 * @typedef {object} Job a request on its way
 * @property {number} id
 * @property {string} slot who asks
 * @property {string} calculation
 * @property {string} request
 * @property {ReturnType<typeof setTimeout> | undefined} timer runs once the request has been sent
 * @property {(answer: Answer | null) => void} resolve
 * @property {(trouble: Trouble) => void} reject
 */

/** Requests by number. Those not sent yet wait for the engine; each slot has at most one of them. */
export class Jobs {
  /** @type {Map<number, Job>} */
  #jobs = new Map();
  #last = 0;

  /**
   * @param {string} slot
   * @param {string} calculation
   * @param {string} request
   * @returns {{job: Job, answer: Promise<Answer | null>}} the answer is null when a newer request took its place
   */
  add(slot, calculation, request) {
    for (const job of this.#jobs.values()) {
      if (job.slot === slot && job.timer === undefined) this.#take(job.id)?.resolve(null);
    }
    /** @type {Job} */
    const job = { id: ++this.#last, slot, calculation, request, timer: undefined, resolve: () => {}, reject: () => {} };
    /** @type {Promise<Answer | null>} */
    const answer = new Promise((resolve, reject) => Object.assign(job, { resolve, reject }));
    this.#jobs.set(job.id, job);
    return { job, answer };
  }

  /**
   * Sends all that wait.
   *
   * @param {(job: Job) => void} post
   * @param {number} limit milliseconds that an answer may take
   * @param {() => void} late is called when one takes longer, after its promise has been rejected
   */
  send(post, limit, late) {
    for (const job of this.#jobs.values()) {
      if (job.timer !== undefined) continue;
      job.timer = setTimeout(() => {
        this.#take(job.id)?.reject({ where: "engine", code: "stopped", why: TEXTS.stopped, mend: TEXTS.stoppedMend });
        late();
      }, limit);
      post(job);
    }
  }

  /** What was sent waits again: the engine that had it is gone. */
  unsend() {
    for (const job of this.#jobs.values()) {
      clearTimeout(job.timer);
      job.timer = undefined;
    }
  }

  /** @param {import("../protocol.js").FromEngine} message */
  settle(message) {
    const job = this.#take(message.id);
    if (message.kind === "result") {
      const answer = decoded(message.text);
      if (answer) job?.resolve(answer);
      else job?.reject(ENGINE_FAULT);
    } else if (message.kind === "problem") job?.reject(message);
  }

  /** @param {number} id */
  #take(id) {
    const job = this.#jobs.get(id);
    clearTimeout(job?.timer);
    this.#jobs.delete(id);
    return job;
  }
}

/**
 * @param {string} text
 * @returns {Answer | null} null when the text is no answer: the request then fails instead of waiting for ever
 */
function decoded(text) {
  try {
    const answer = JSON.parse(text);
    return typeof answer === "object" ? answer : null;
  } catch (fault) {
    console.error("Benchleaf: the engine's answer cannot be read.", fault);
    return null;
  }
}
