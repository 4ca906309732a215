import { bytesOfBase64 } from "../base64.js";
import { inflated } from "../inflate.js";
import { missing } from "../load-problem.js";
import { checkerOf } from "../parts.js";
import { loadScript } from "../../page/load-script.js";
import { VERSION } from "../protocol.js";

/** @typedef {import("../protocol.js").PartName} PartName */
/** @typedef {import("../protocol.js").Part} Part */

/**
 * The engine's files inlined as text in classic scripts. A page opened from a folder can load scripts and nothing else.
 */
export class Inlined {
  /** @type {Map<string, string>} */
  #texts = new Map();
  /** @type {Promise<Uint8Array<ArrayBuffer>[]> | null} */
  #scripts = null;
  /** @type {Set<Part>} */
  #awaited = new Set();

  /**
   * @param {string} base address of the engine's folder
   * @param {import("../protocol.js").EngineFiles} files
   * @param {(bytes: number) => void} arrived is called for each file that has arrived
   */
  constructor(base, files, arrived) {
    this.base = base;
    this.files = files;
    this.arrived = arrived;
    globalThis.benchleafPart = (name, text) => this.#texts.set(name, text);
  }

  begin() {
    this.#scripts = null;
  }

  stop() {
    this.#awaited.clear();
  }

  awaited() {
    return [...this.#awaited];
  }

  /**
   * @param {string} name
   * @param {Part} part
   * @returns {Promise<string>} base64; empty when there is no such part
   */
  async #text(name, part) {
    this.#awaited.add(part);
    await loadScript(`${this.base}inlined/${name}.js`).catch(() => {});
    this.#awaited.delete(part);
    const text = this.#texts.get(name) ?? "";
    this.#texts.delete(name);
    this.arrived(part.bytes);
    return text;
  }

  /**
   * @param {PartName} name
   * @param {import("./supply.js").Post} post
   */
  async deliver(name, post) {
    const part = this.files.parts[name];
    const text = part ? await this.#text(name, part) : "";
    const { code, message, mend } = missing(`inlined/${name}.js`);
    if (text) post({ v: VERSION, kind: "part", id: 0, name, text });
    post({ v: VERSION, kind: "end", id: 0, name, trouble: text ? null : { code, why: message, mend } });
  }

  scripts() {
    return (this.#scripts ??= this.#unpacked());
  }

  /** Both in one, for a worker made from a blob can load no script of the page. */
  async #unpacked() {
    const [first] = this.files.scripts;
    if (!first) throw missing("inlined/worker.js");
    const text = await this.#text("worker", { ...first, file: "inlined/worker.js" });
    if (!text) throw missing("inlined/worker.js");
    const packed = new Response(bytesOfBase64(text)).body;
    const whole = packed && new Uint8Array(await new Response(await inflated(packed)).arrayBuffer());
    if (!whole) throw missing("inlined/worker.js");
    /** @type {Uint8Array<ArrayBuffer>[]} */
    const scripts = [];
    let at = 0;
    for (const part of this.files.scripts) {
      const bytes = whole.subarray(at, at + part.bytes);
      const checker = checkerOf({ ...part, file: "inlined/worker.js" });
      checker.add(bytes);
      await checker.finish();
      scripts.push(bytes);
      at += part.bytes + 1;
    }
    return scripts;
  }

  async loadScripts() {
    for (const { file } of this.files.scripts) await loadScript(this.base + file);
  }
}
