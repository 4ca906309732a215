/**
 * The messages between page and engine. Only text and numbers cross: neither side holds an object of the
 * other, so the engine can be stopped and started again at any time.
 */

export const VERSION = 1;

/** Put before the verb of practice; the two then take the place of a calculation's name. */
export const PRACTICE = "practice:";

/**
 * @typedef {object} Part a file of the engine
 * @property {string} file its name in the engine's folder
 * @property {number} bytes its length as stored
 * @property {string} stored SHA-256 of the file as stored
 * @property {string} content SHA-256 of what it holds when a server has inflated it on the way
 */

/** @typedef {"wasm" | "image" | "stdlib" | "engine"} PartName */

/**
 * @typedef {object} Manifest one build of the engine
 * @property {string} build hash of everything the memory image depends on
 * @property {string} engine version of the engine
 * @property {import("pyodide").LockfileInfo} runtime what the runtime says of itself
 * @property {Partial<Record<PartName, Part>>} parts the image is missing where none could be made
 * @property {Record<string, Known[]>} known questions by which the engine proves itself, by calculation
 */

/**
 * @typedef {object} Known a question whose answer is known
 * @property {string} request JSON
 * @property {string} answer SHA-256 of the text that is right
 */

/**
 * @typedef {object} EngineFiles what the page knows of its engine's files
 * @property {string} folder beside the page's script
 * @property {Partial<Record<PartName, Part>>} parts
 * @property {Part[]} scripts what the worker runs, in this order
 */

/**
 * @typedef {{v: number, kind: "part", id: 0, name: PartName, text: string}
 *   | {v: number, kind: "piece", id: 0, name: PartName, bytes: Uint8Array<ArrayBuffer>}
 *   | {v: number, kind: "end", id: 0, name: PartName, trouble: Omit<Trouble, "where"> | null}} Delivery of a part: as
 *   base64 text, in pieces, and its end, with the reason if it could not be had
 */

/**
 * @typedef {{v: number, kind: "start", id: 0, image: boolean, life: string}
 *   | Delivery
 *   | {v: number, kind: "warm-up", id: 0, calculations: string[]}
 *   | {v: number, kind: "run", id: number, calculation: string, request: string}} ToEngine
 */

/** @typedef {"runtime" | "engine" | "ready"} Phase */

/**
 * @typedef {object} Trouble why there is no answer, in words for a reader
 * @property {"load" | "engine"} where
 * @property {string} code
 * @property {string} why
 * @property {string} mend
 */

/** @type {Trouble} given when the engine fails on a request, or returns something that is no answer */
export const ENGINE_FAULT = {
  where: "engine",
  code: "engine-fault",
  why: "the calculator failed; the readings are not the cause",
  mend: "Note the readings and report the fault; meanwhile, work it out by the formulas",
};

/**
 * @typedef {{v: number, kind: "phase", id: 0, phase: Phase, start?: "image" | "stock", engine?: string}
 *   | {v: number, kind: "need", id: 0, name: PartName}
 *   | {v: number, kind: "alive", id: 0}
 *   | {v: number, kind: "result", id: number, text: string}
 *   | ({v: number, kind: "problem", id: number} & Trouble)} FromEngine
 */

/**
 * Whether a message is one of ours. Extensions of the browser post messages too.
 *
 * @param {unknown} message
 * @returns {boolean}
 */
export function isOurs(message) {
  if (typeof message !== "object" || message === null) return false;
  const { v, kind, id } = /** @type {Record<string, unknown>} */ (message);
  return v === VERSION && typeof kind === "string" && typeof id === "number";
}
