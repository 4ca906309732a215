/**
 * @typedef {object} Timer one that was started, as it is stored
 * @property {string} key the page and the id of its block
 * @property {string} title what is waited for
 * @property {string} page address of the page that it was started on
 * @property {number} ends when it is over, in milliseconds since 1970; means nothing while it is paused
 * @property {number | null} left what was left when it was paused, in milliseconds; null while it runs
 * @property {number | null} found when a page first saw that it is over, in milliseconds since 1970
 * @property {string} [owner] whose it is, in words: the job that it was started for
 * @property {boolean} heard whether somebody has confirmed that it is over
 */

const NAME = "timers";
// A background page may look only once a minute. Later than that, nothing ran: the device slept or the manual was closed.
const LATE = 75_000;

/**
 * The timers of this browser. They are kept in its storage, so that they go on through a reload and on every page of the
 * manual. A timer is the time of day at which it ends: while the device sleeps no time is lost, only the sound.
 */
export class Timers extends EventTarget {
  /**
   * @param {import("../page/store.js").Store} store
   * @param {() => number} [now] milliseconds since 1970
   */
  constructor(store, now = () => Date.now()) {
    super();
    this.store = store;
    this.now = now;
  }

  /** Whose timers are started from now on: what their keys end with, and its name in words. Empty when they are nobody's. */
  owner = { key: "", name: "" };

  /** @param {{key: string, name: string}} owner */
  belongTo(owner) {
    if (owner.key === this.owner.key && owner.name === this.owner.name) return;
    this.owner = owner;
    this.dispatchEvent(new Event("change"));
  }

  /**
   * @param {string} address of a page and the id of a block
   * @returns {string} the key of the owner's timer there
   */
  keyOf(address) {
    return this.owner.key ? `${address}@${this.owner.key}` : address;
  }

  /** What a browser that stores nothing has of them: they run as long as the page is open. @type {unknown} */
  #unstored = null;

  /** @returns {Timer[]} all that were started and not put back, the first to end first */
  all() {
    const stored = this.store.get(NAME) ?? this.#unstored;
    const known = Array.isArray(stored) ? stored.filter(isTimer) : [];
    return known.sort((one, other) => this.left(one) - this.left(other));
  }

  /**
   * @param {string} key
   * @returns {Timer | undefined}
   */
  get(key) {
    return this.all().find((timer) => timer.key === key);
  }

  /**
   * @param {Timer} timer
   * @returns {number} milliseconds; 0 when it is over
   */
  left(timer) {
    return Math.max(0, timer.left ?? timer.ends - this.now());
  }

  /**
   * @param {Timer} timer
   * @returns {"running" | "paused" | "over"}
   */
  stateOf(timer) {
    if (timer.left !== null) return "paused";
    return timer.ends <= this.now() ? "over" : "running";
  }

  /** @returns {Timer[]} those that are over and that nobody has confirmed */
  due() {
    return this.all().filter((timer) => this.stateOf(timer) === "over" && !timer.heard);
  }

  /** Whether the browser stores them, so that they outlive the page. */
  get isKept() {
    return this.store.get(NAME) !== null;
  }

  /**
   * Whether the end went by while nothing ran here, so that no sound was heard in time.
   *
   * @param {Timer} timer
   */
  wasMissed(timer) {
    return timer.found !== null && timer.found > timer.ends + LATE;
  }

  /**
   * @param {string} key
   * @param {string} title
   * @param {number} minutes
   * @param {string} page
   */
  start(key, title, minutes, page) {
    const owner = this.owner.name ? { owner: this.owner.name } : {};
    this.#put({ key, title, page, ends: this.now() + minutes * 60_000, left: null, found: null, heard: false, ...owner });
    this.#tell("started", key);
  }

  /** @param {string} key */
  pause(key) {
    const timer = this.get(key);
    if (timer && this.stateOf(timer) === "running") this.#put({ ...timer, left: this.left(timer) });
    this.#tell("paused", key);
  }

  /** @param {string} key */
  goOn(key) {
    const timer = this.get(key);
    if (timer?.left != null) this.#put({ ...timer, ends: this.now() + timer.left, left: null });
    this.#tell("resumed", key);
  }

  /**
   * Somebody confirms that it is over: the sound stops on every page.
   *
   * @param {string} key
   */
  confirm(key) {
    const timer = this.get(key);
    if (timer) this.#put({ ...timer, heard: true });
    this.#tell("confirmed", key);
  }

  /** @param {string} key */
  remove(key) {
    this.#tell("reset", key);
    this.#write(this.all().filter((timer) => timer.key !== key));
  }

  /** Notes which timers are seen to be over for the first time. */
  look() {
    for (const timer of this.all()) {
      if (this.stateOf(timer) === "over" && timer.found === null) this.#put({ ...timer, found: this.now() });
    }
  }

  /**
   * @param {"started" | "paused" | "resumed" | "confirmed" | "reset"} press what somebody has done
   * @param {string} key
   */
  #tell(press, key) {
    const timer = this.get(key);
    if (timer) this.dispatchEvent(new CustomEvent("press", { detail: { press, timer } }));
  }

  /** @param {Timer} timer */
  #put(timer) {
    this.#write([...this.all().filter((other) => other.key !== timer.key), timer]);
  }

  /** @param {Timer[]} timers */
  #write(timers) {
    this.store.set(NAME, timers);
    this.#unstored = timers;
    this.dispatchEvent(new Event("change"));
  }
}

/**
 * @param {unknown} value
 * @returns {value is Timer}
 */
function isTimer(value) {
  const { key, title, page, ends, left, found, heard } = /** @type {Partial<Timer>} */ (value ?? {});
  return (
    [key, title, page].every((one) => typeof one === "string") && isTime(ends) &&
    [left, found].every((one) => one === null || isTime(one)) && typeof heard === "boolean"
  ); // prettier-ignore
}

/** @param {unknown} value */
function isTime(value) {
  return typeof value === "number" && Number.isFinite(value) && value >= 0;
}
