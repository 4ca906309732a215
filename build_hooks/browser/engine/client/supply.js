import { joined } from "../digest.js";
import { checkerOf } from "../parts.js";
import { LoadProblem, missing } from "../load-problem.js";
import { VERSION } from "../protocol.js";
import { loadScript } from "../../page/load-script.js";

/** @typedef {import("../protocol.js").PartName} PartName */
/** @typedef {import("../protocol.js").Part} Part */
/** @typedef {(message: import("../protocol.js").Delivery) => void} Post */

/**
 * Where the engine's files come from.
 *
 * @typedef {object} Supply
 * @property {import("../protocol.js").EngineFiles} files
 * @property {(again: boolean) => void} begin a new start, perhaps again after a failure
 * @property {() => void} stop nobody is waiting any more
 * @property {() => Promise<Uint8Array<ArrayBuffer>[]>} scripts what the worker runs, checked; rejects with a `LoadProblem`
 * @property {() => Promise<void>} loadScripts the same, run on the page's own thread
 * @property {(name: PartName, post: Post) => Promise<void>} deliver sends a part, or the reason why it cannot be had
 * @property {() => Part[]} awaited what has been requested and has not arrived yet
 */

/** The engine's files, fetched by the page, which passes them on: so each byte that arrives shows progress. */
export class Fetched {
  /** @type {Map<Part, AbortController>} */
  #awaited = new Map();
  /** @type {Promise<Uint8Array<ArrayBuffer>[]> | null} */
  #scripts = null;
  /** @type {RequestCache} */
  #cache = "default";

  /**
   * @param {string} base address of the engine's folder, with a slash at its end
   * @param {import("../protocol.js").EngineFiles} files
   * @param {(bytes: number) => void} arrived is called for every piece that comes in
   */
  constructor(base, files, arrived) {
    this.base = base;
    this.files = files;
    this.arrived = arrived;
  }

  /** @param {boolean} again what was damaged once may lie in the browser's store: all is asked of the server itself */
  begin(again) {
    this.#cache = again ? "reload" : "default";
    this.#scripts = null;
    void this.scripts().catch(() => {}); // Whoever makes the worker reports it.
  }

  stop() {
    for (const abort of this.#awaited.values()) abort.abort();
    this.#awaited.clear();
  }

  awaited() {
    return [...this.#awaited.keys()];
  }

  scripts() {
    return (this.#scripts ??= Promise.all(this.files.scripts.map((part) => this.#checked(part))));
  }

  async loadScripts() {
    await this.scripts();
    for (const { file, stored } of this.files.scripts) await loadScript(this.base + file, integrityOf(stored));
  }

  /**
   * @param {PartName} name
   * @param {Post} post
   */
  async deliver(name, post) {
    const part = this.files.parts[name];
    try {
      if (!part) throw missing(name);
      await this.#fetch(part, (bytes) => post({ v: VERSION, kind: "piece", id: 0, name, bytes }));
      post({ v: VERSION, kind: "end", id: 0, name, trouble: null });
    } catch (fault) {
      const { code, message, mend } = fault instanceof LoadProblem ? fault : missing(part?.file ?? name);
      post({ v: VERSION, kind: "end", id: 0, name, trouble: { code, why: message, mend } });
    }
  }

  /** @param {Part} part */
  async #checked(part) {
    /** @type {Uint8Array<ArrayBuffer>[]} */
    const pieces = [];
    const checker = checkerOf(part);
    await this.#fetch(part, (piece) => {
      pieces.push(piece);
      checker.add(piece);
    });
    await checker.finish();
    return joined(pieces);
  }

  /**
   * @param {Part} part
   * @param {(piece: Uint8Array<ArrayBuffer>) => void} take
   */
  async #fetch(part, take) {
    const abort = new AbortController();
    this.#awaited.set(part, abort);
    try {
      const answer = await fetch(this.base + part.file, { signal: abort.signal, cache: this.#cache });
      if (!answer.ok || !answer.body) throw missing(part.file);
      const reader = answer.body.getReader();
      for (let { value, done } = await reader.read(); !done; { value, done } = await reader.read()) {
        if (!value) continue;
        take(value);
        this.arrived(value.length);
      }
    } catch {
      throw missing(part.file);
    } finally {
      if (this.#awaited.get(part) === abort) this.#awaited.delete(part);
    }
  }
}

/** @param {string} digest hexadecimal */
function integrityOf(digest) {
  const bytes = (digest.match(/../g) ?? []).map((pair) => parseInt(pair, 16));
  return `sha256-${btoa(String.fromCharCode(...bytes))}`;
}
