import { bytesOfBase64 } from "./engine/base64.js";
import { inflated } from "./engine/inflate.js";
import { loadScript } from "./places.js";

/** @typedef {import("./protocol.js").PartName} PartName */

/**
 * The parts of the engine as text in classic scripts. A page opened from a folder may load scripts and nothing else.
 */
export class Carried {
  /** @type {Map<string, string>} */
  #texts = new Map();

  /** @param {string} base address of the engine's folder */
  constructor(base) {
    this.base = base;
    globalThis.benchleafPart = (name, text) => this.#texts.set(name, text);
  }

  /**
   * @param {string} name
   * @returns {Promise<string>} base64; empty when there is no such part
   */
  async text(name) {
    await loadScript(`${this.base}carried/${name}.js`).catch(() => {});
    const text = this.#texts.get(name) ?? "";
    this.#texts.delete(name);
    return text;
  }

  /**
   * The worker's script with the runtime's in front: a worker made from a blob can load no script of the page.
   *
   * @returns {Promise<string>}
   */
  async workerUrl() {
    const packed = new Blob([bytesOfBase64(await this.text("worker"))]).stream();
    const script = await new Response(await inflated(packed)).blob();
    return URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  }
}
