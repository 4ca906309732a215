import { bytesOfBase64 } from "./base64.js";
import { digester } from "./digest.js";
import { inflated } from "./inflate.js";
import { damaged, missing, LoadProblem } from "./load-problem.js";

/** @typedef {import("./protocol.js").PartName} PartName */
/** @typedef {import("./protocol.js").Part} Part */
/** @typedef {ReadableStream<Uint8Array<ArrayBuffer>>} Bytes */
/** @typedef {(name: PartName) => Bytes} OpenStored */
/** @typedef {{content: Promise<Bytes>, sound: Promise<void>}} Opened */

/**
 * Parts that the page delivers: in pieces as they are fetched, or, on file:// where nothing can be fetched, as text.
 *
 * @param {(name: PartName) => void} need asks the page for a part
 * @returns {{open: OpenStored, accept: (message: import("./protocol.js").Delivery) => void}}
 */
export function deliveredParts(need) {
  /** @type {Map<PartName, {stream: Bytes, controller: ReadableStreamDefaultController<Uint8Array<ArrayBuffer>>}>} */
  const known = new Map();
  /** @param {PartName} name */
  const of = (name) => {
    const made = known.get(name) ?? pipe();
    known.set(name, made);
    return made;
  };
  return {
    open(name) {
      if (!known.has(name)) need(name);
      return of(name).stream;
    },
    accept(message) {
      const { controller } = of(message.name);
      try {
        if (message.kind === "part") controller.enqueue(bytesOfBase64(message.text));
        else if (message.kind === "piece") controller.enqueue(message.bytes);
        else if (message.trouble) controller.error(new LoadProblem(message.trouble.code, message.trouble.why, message.trouble.mend));
        else controller.close();
      } catch {
        // Whoever read it has given it up.
      }
    },
  };
}

function pipe() {
  /** @type {ReadableStreamDefaultController<Uint8Array<ArrayBuffer>> | undefined} */
  let made;
  /** @type {Bytes} */
  const stream = new ReadableStream({ start: (controller) => void (made = controller) });
  return { stream, controller: /** @type {ReadableStreamDefaultController<Uint8Array<ArrayBuffer>>} */ (made) };
}

/**
 * What a part holds, inflated as it comes in, and a promise that it is undamaged. The promise settles with
 * the last byte, whatever happened to the content before: a damaged part is recognised by its digest.
 *
 * @param {OpenStored} open
 * @param {import("./protocol.js").Manifest} manifest
 * @param {PartName} name
 * @returns {Opened}
 */
export function openPart(open, manifest, name) {
  const part = manifest.parts[name];
  if (!part) {
    const none = Promise.reject(missing(name));
    none.catch(() => {});
    return { content: none, sound: none };
  }
  const [checked, used] = open(name).tee();
  const sound = check(checked, part);
  const content = inflated(used);
  for (const promise of [sound, content]) promise.catch(() => {}); // When a part is given up, nobody is waiting for these.
  return { content, sound };
}

/**
 * @param {Bytes} bytes
 * @param {Part} part
 */
async function check(bytes, part) {
  const checker = checkerOf(part);
  const reader = bytes.getReader();
  for (let { value, done } = await reader.read(); !done; { value, done } = await reader.read()) {
    if (value) checker.add(value);
  }
  await checker.finish();
}

/**
 * Checks a file that comes in pieces.
 *
 * @param {Part} part
 * @returns {{add: (piece: Uint8Array<ArrayBuffer>) => void, finish: () => Promise<void>}} finish rejects with a
 *   `LoadProblem` when the file is not the one that was built
 */
export function checkerOf(part) {
  const digest = digester();
  let length = 0;
  /** @type {Uint8Array} */
  let start = new Uint8Array(0);
  return {
    add(piece) {
      digest.add(piece);
      if (!start.length) start = piece;
      length += piece.length;
    },
    async finish() {
      const found = await digest.hex();
      if (found !== part.stored && found !== part.content) throw damaged(part.file, start, length);
    },
  };
}

/**
 * A part as bytes, known to be undamaged.
 *
 * @param {Opened} opened
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
export async function bytesOf({ content, sound }) {
  const bytes = content.then(async (stream) => new Uint8Array(await new Response(stream).arrayBuffer()));
  bytes.catch(() => {});
  await sound; // For a damaged part, its digest is the reason to report, not what its reader ran into.
  return bytes;
}
