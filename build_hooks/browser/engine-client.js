import { startMessage } from "./places.js";
import { VERSION } from "./protocol.js";
import { WORDS } from "./words.js";

/** @typedef {import("./protocol.js").Trouble} Trouble */
/** @typedef {"idle" | "loading" | "ready" | "failed"} EngineState */
/** @typedef {{startSilence: number, run: number}} Limits milliseconds */

/**
 * @typedef {object} Answer what the engine gives for a request
 * @property {Record<string, any> & {ok: boolean}} reply the same object as the command line's
 * @property {import("./view/node-maker.js").ElementData | null} panel
 */

/**
 * @typedef {object} Job
 * @property {string} slot
 * @property {string} calculation
 * @property {string} request
 * @property {boolean} sent
 * @property {ReturnType<typeof setTimeout> | undefined} timer
 * @property {(answer: Answer | null) => void} resolve
 * @property {(trouble: Trouble) => void} reject
 */

/**
 * The one engine of a page: started once, asked by number, watched, and started anew when it hangs.
 */
export class EngineClient extends EventTarget {
  /** @type {EngineState} */
  state = "idle";
  /** @type {Trouble | null} why the last start failed */
  trouble = null;
  /** @type {"image" | "stock" | null} how it was started */
  startedFrom = null;

  /** @type {Map<number, Job>} */
  #jobs = new Map();
  #lastId = 0;
  /** @type {import("./places.js").Place | null} */
  #place = null;
  /** Counts starts: what comes from an earlier place is not heard any more. */
  #start = 0;
  #at = 0;
  #image = true;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #watch;

  /**
   * @param {object} given
   * @param {import("./places.js").OpenPlace[]} given.places in the order in which they are tried
   * @param {string} given.base
   * @param {import("./carried.js").Carried | null} given.carried
   * @param {Limits} given.limits
   */
  constructor({ places, base, carried, limits }) {
    super();
    this.places = places;
    this.base = base;
    this.carried = carried;
    this.limits = limits;
  }

  /** Starts the engine, unless it has been started. */
  start() {
    if (this.state === "idle") this.#open();
  }

  /** Starts it again after a failure; this time without the saved memory, in case that was the cause. */
  retry() {
    if (this.state !== "failed") return;
    this.#image = false;
    this.#at = 0;
    this.#open();
  }

  /**
   * Asks for an answer. Until the engine is ready the newest request of a slot waits, and older ones are dropped.
   *
   * @param {string} slot who asks
   * @param {string} calculation
   * @param {string} request JSON
   * @returns {Promise<Answer | null>} null when a newer request took its place; rejects with a `Trouble`
   */
  run(slot, calculation, request) {
    for (const [id, job] of this.#jobs) {
      if (job.slot !== slot || job.sent) continue;
      this.#jobs.delete(id);
      job.resolve(null);
    }
    return new Promise((resolve, reject) => {
      const id = ++this.#lastId;
      this.#jobs.set(id, { slot, calculation, request, sent: false, timer: undefined, resolve, reject });
      this.start();
      if (this.state === "ready") this.#send(id);
    });
  }

  #open() {
    this.#close();
    const start = this.#start;
    const mine = () => start === this.#start;
    this.trouble = null;
    this.#become("loading");
    this.#expectSign();
    const refused = () => {
      if (mine() && this.state === "loading") this.#nextPlace();
    };
    const open = this.places[this.#at];
    if (!open) return this.#fail({ where: "load", code: "no-place", why: WORDS.noPlace, mend: WORDS.noPlaceMend });
    open({ message: (message) => mine() && this.#heard(message), refused }).then((place) => {
      if (!mine()) return place.stop();
      this.#place = place;
      place.post(startMessage(this.carried, this.base, this.#image));
      // Sent before they are asked for: loading them takes about as long as making the worker.
      for (const name of /** @type {const} */ (["wasm", "image"])) if (this.carried) void this.#carry(name);
    }, refused);
  }

  #nextPlace() {
    this.#at += 1;
    this.#open();
  }

  #close() {
    this.#start += 1;
    clearTimeout(this.#watch);
    this.#place?.stop();
    this.#place = null;
    for (const job of this.#jobs.values()) {
      clearTimeout(job.timer);
      job.sent = false;
    }
  }

  #expectSign() {
    clearTimeout(this.#watch);
    this.#watch = setTimeout(() => {
      if (this.#image) {
        console.warn("Benchleaf: the engine gave no sign of life. It is started again, the slow way.");
        this.#image = false;
        return this.#open();
      }
      this.#fail({ where: "load", code: "silent", why: WORDS.silentStart, mend: WORDS.silentStartMend });
    }, this.limits.startSilence);
  }

  /** @param {Trouble} trouble */
  #fail(trouble) {
    this.#close();
    this.trouble = trouble;
    this.#become("failed");
  }

  /** @param {EngineState} state */
  #become(state) {
    this.state = state;
    document.documentElement.dataset.engine = state;
    this.dispatchEvent(new Event("state"));
  }

  /** @param {import("./protocol.js").FromEngine} message */
  #heard(message) {
    if (message.kind === "need") return void this.#carry(message.name);
    if (message.kind === "phase" && message.phase === "ready") {
      clearTimeout(this.#watch);
      this.startedFrom = message.start ?? null;
      this.#become("ready");
      for (const id of [...this.#jobs.keys()]) this.#send(id);
    } else if (message.kind === "phase") {
      this.#expectSign();
    } else if (message.kind === "problem" && message.id === 0) {
      this.#fail(message);
    } else {
      this.#settle(message);
    }
  }

  /** @param {import("./protocol.js").PartName} name */
  async #carry(name) {
    const place = this.#place;
    place?.post({ v: VERSION, kind: "part", id: 0, name, text: (await this.carried?.text(name)) ?? "" });
  }

  /** @param {number} id */
  #send(id) {
    const job = this.#jobs.get(id);
    if (!job || job.sent || !this.#place) return;
    job.sent = true;
    job.timer = setTimeout(() => this.#stopRun(id), this.limits.run);
    this.#place.post({ v: VERSION, kind: "run", id, calculation: job.calculation, request: job.request });
  }

  /** @param {number} id */
  #stopRun(id) {
    this.#jobs.get(id)?.reject({ where: "engine", code: "stopped", why: WORDS.stopped, mend: WORDS.stoppedMend });
    this.#jobs.delete(id);
    this.#open(); // The others are asked again when it is up.
  }

  /** @param {import("./protocol.js").FromEngine} message */
  #settle(message) {
    const job = this.#jobs.get(message.id);
    if (!job) return;
    clearTimeout(job.timer);
    this.#jobs.delete(message.id);
    if (message.kind === "result") job.resolve(JSON.parse(message.text));
    else if (message.kind === "problem") job.reject(message);
  }
}
