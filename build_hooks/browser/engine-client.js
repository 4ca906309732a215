import { Jobs } from "./jobs.js";
import { startMessage } from "./places.js";
import { VERSION } from "./protocol.js";
import { WORDS } from "./words.js";

/** @typedef {import("./protocol.js").Trouble} Trouble */
/** @typedef {"idle" | "loading" | "ready" | "failed"} EngineState */
/** @typedef {{startSilence: number, run: number}} Limits milliseconds */

/** The one engine of a page: started once, asked by number, watched, and started anew when it hangs. */
export class EngineClient extends EventTarget {
  /** @type {EngineState} */
  state = "idle";
  /** @type {Trouble | null} why the last start failed */
  trouble = null;
  /** @type {"image" | "stock" | null} how it was started */
  startedFrom = null;

  #jobs = new Jobs();
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
   * @param {() => string[]} given.calculations those of the page
   */
  constructor({ places, base, carried, limits, calculations }) {
    super();
    this.places = places;
    this.base = base;
    this.carried = carried;
    this.limits = limits;
    this.calculations = calculations;
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
   * @returns {Promise<import("./jobs.js").Answer | null>} null when a newer request took its place; rejects with a `Trouble`
   */
  run(slot, calculation, request) {
    const { answer } = this.#jobs.add(slot, calculation, request);
    this.start();
    if (this.state === "ready") this.#send();
    return answer;
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
      if (this.carried) for (const name of /** @type {const} */ (["wasm", "image"])) void this.#carry(name);
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
    this.#jobs.unsend();
  }

  #expectSign() {
    clearTimeout(this.#watch);
    this.#watch = setTimeout(() => {
      if (!this.#image) {
        return this.#fail({ where: "load", code: "silent", why: WORDS.silentStart, mend: WORDS.silentStartMend });
      }
      console.warn("Benchleaf: the engine gave no sign of life. It is started again, the slow way.");
      this.#image = false;
      this.#open();
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
    if (message.kind === "need") void this.#carry(message.name);
    else if (message.kind === "phase" && message.phase === "ready") this.#ready(message.start ?? null);
    else if (message.kind === "phase") this.#expectSign();
    else if (message.kind === "problem" && message.id === 0) this.#fail(message);
    else this.#jobs.settle(message);
  }

  /** @param {"image" | "stock" | null} from */
  #ready(from) {
    clearTimeout(this.#watch);
    this.startedFrom = from;
    document.documentElement.dataset.engineStart = from ?? "";
    this.#become("ready");
    this.#send();
    this.#rehearse();
  }

  /** What a reader may ask next. On the page's own thread it would stand in the way of typing. */
  #rehearse() {
    const calculations = [...new Set(this.calculations())];
    if (this.#place?.apart && calculations.length) this.#place.post({ v: VERSION, kind: "rehearse", id: 0, calculations });
  }

  #send() {
    this.#jobs.send(
      ({ id, calculation, request }) => this.#place?.post({ v: VERSION, kind: "run", id, calculation, request }),
      this.limits.run,
      () => this.#open(), // What else was asked is asked again when it is up.
    );
  }

  /** @param {import("./protocol.js").PartName} name */
  async #carry(name) {
    const place = this.#place;
    place?.post({ v: VERSION, kind: "part", id: 0, name, text: (await this.carried?.text(name)) ?? "" });
  }
}
