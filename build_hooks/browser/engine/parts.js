import { bytesOfBase64 } from "./base64.js";
import { isPart } from "./digest.js";
import { inflated } from "./inflate.js";
import { LoadProblem } from "./load-problem.js";

/** @typedef {import("../protocol.js").PartName} PartName */
/** @typedef {ReadableStream<Uint8Array<ArrayBuffer>>} Bytes */
/** @typedef {(part: import("../protocol.js").Part, name: PartName) => Promise<Bytes>} OpenStored */

/**
 * Parts fetched from the folder of the engine.
 *
 * @param {string} base its address, with a slash at the end
 * @returns {OpenStored}
 */
export function fetchedParts(base) {
  return async (part) => {
    const answer = await self.fetch(base + part.file).catch(() => null);
    if (!answer?.ok || !answer.body) throw missing(part.file);
    return answer.body;
  };
}

/**
 * Parts that scripts of the page carry as base64 text: on file:// nothing can be fetched.
 *
 * @param {(name: PartName) => void} need asks the page for a part
 * @returns {{open: OpenStored, accept: (name: PartName, text: string) => void}}
 */
export function carriedParts(need) {
  /** @type {Map<PartName, string>} */
  const here = new Map();
  /** @type {Map<PartName, (text: string) => void>} */
  const waiting = new Map();
  return {
    async open(part, name) {
      const text = here.get(name) ?? (await new Promise((resolve) => (waiting.set(name, resolve), need(name))));
      here.delete(name);
      if (!text) throw missing(part.file);
      return streamOf(bytesOfBase64(text));
    },
    accept(name, text) {
      const wanted = waiting.get(name);
      if (wanted) wanted(text);
      else here.set(name, text);
      waiting.delete(name);
    },
  };
}

/**
 * A blob would give its stream without this, but WebKitGTK lets no worker of a page from a folder read one.
 *
 * @param {Uint8Array<ArrayBuffer>} bytes
 * @returns {Bytes}
 */
function streamOf(bytes) {
  return new ReadableStream({
    start(controller) {
      controller.enqueue(bytes);
      controller.close();
    },
  });
}

/**
 * What a part holds, inflated as it comes in, and a promise that it is undamaged.
 *
 * @param {OpenStored} open
 * @param {import("../protocol.js").Manifest} manifest
 * @param {PartName} name
 * @param {() => void} alive is called for every piece that comes in
 * @returns {Promise<{content: Bytes, sound: Promise<void>}>}
 */
export async function openPart(open, manifest, name, alive) {
  const part = manifest.parts[name];
  if (!part) throw missing(name);
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const chunks = [];
  /** @type {(value: Promise<void>) => void} */
  let settle = () => {};
  const sound = /** @type {Promise<void>} */ (new Promise((resolve) => (settle = resolve)));
  const watched = new TransformStream({
    transform(chunk, controller) {
      chunks.push(chunk);
      alive();
      controller.enqueue(chunk);
    },
    flush() {
      settle(isPart(chunks, part).then((is) => (is ? undefined : Promise.reject(damaged(part.file)))));
    },
  });
  sound.catch(() => {}); // Told to whoever waits for it; a part that is given up has nobody.
  return { content: await inflated((await open(part, name)).pipeThrough(watched)), sound };
}

/**
 * A part as bytes, known to be undamaged.
 *
 * @param {Promise<{content: Bytes, sound: Promise<void>}>} opened
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
export async function bytesOf(opened) {
  const { content, sound } = await opened;
  const bytes = new Uint8Array(await new Response(content).arrayBuffer());
  await sound;
  return bytes;
}

/** @param {string} file */
function missing(file) {
  return new LoadProblem("missing", `the file “${file}” could not be read`, RELOAD);
}

/** @param {string} file */
function damaged(file) {
  return new LoadProblem("damaged", `the file “${file}” is damaged or belongs to another edition`, RELOAD);
}

const RELOAD = "Reload the page; if it fails again, ask whoever keeps this manual to build it again";
