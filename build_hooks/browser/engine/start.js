import { LoadProblem } from "./load-problem.js";
import { completeImage, readImage } from "./memory-image.js";
import { bytesOf, openPart } from "./parts.js";
import { PRACTICE } from "../protocol.js";
import { bootRuntime } from "./runtime.js";

/** @typedef {import("../protocol.js").Manifest} Manifest */
/** @typedef {import("../protocol.js").PartName} PartName */
/** @typedef {import("../protocol.js").Phase} Phase */
/** @typedef {(calculation: string, request: string) => string} AnswerForPage */
/** @typedef {{answer: AnswerForPage, rehearse: (calculation: string) => void}} Doors */
/** @typedef {Doors & {start: "image" | "stock"}} Started */

/**
 * Starts the engine: from its saved memory, or, where that cannot be, from the standard library and its wheel.
 *
 * @param {object} given
 * @param {Manifest} given.manifest
 * @param {import("./parts.js").OpenStored} given.open
 * @param {boolean} given.image whether the saved memory is to be tried
 * @param {() => void} given.loadScript brings the runtime's script, if it is not there yet
 * @param {(phase: Phase) => void} given.say
 * @returns {Promise<Started>}
 */
export async function startEngine({ manifest, open, image, loadScript, say }) {
  const part = (/** @type {PartName} */ name) => openPart(open, manifest, name, () => say("runtime"));
  const wasm = compiled(part("wasm"));
  wasm.then(() => say("runtime"), () => {}); // A failure is told by whoever waits for it.
  const memory = image && manifest.parts.image ? bytesOf(part("image")) : undefined;
  memory?.catch(() => {});
  loadScript();
  if (memory) {
    try {
      return { ...(await fromImage(manifest, wasm, memory, say)), start: "image" };
    } catch (fault) {
      await wasm; // A program that will not compile is no fault of the image's.
      const why = fault instanceof Error ? fault.message : String(fault);
      console.warn(`Benchleaf: the saved memory could not be used (${why}). The engine starts the slow way.`);
    }
  }
  return { ...(await fromWheel(manifest, wasm, part, say)), start: "stock" };
}

/**
 * @param {Promise<{content: import("./parts.js").Bytes, sound: Promise<void>}>} opened
 * @returns {Promise<WebAssembly.Module>}
 */
async function compiled(opened) {
  const { content, sound } = await opened;
  // The type is ours to give, so a server that names it wrongly does no harm.
  const program = new Response(content, { headers: { "Content-Type": "application/wasm" } });
  const module = WebAssembly.compileStreaming
    ? await WebAssembly.compileStreaming(program)
    : await WebAssembly.compile(await program.arrayBuffer());
  await sound;
  return module;
}

/**
 * @param {Manifest} manifest
 * @param {Promise<WebAssembly.Module>} wasm
 * @param {Promise<Uint8Array<ArrayBuffer>>} memory
 * @param {(phase: Phase) => void} say
 */
async function fromImage(manifest, wasm, memory, say) {
  const image = readImage(await memory);
  const { build, engine } = image.head;
  if (build !== manifest.build || engine !== manifest.engine) throw new Error("it belongs to another edition");
  const runtime = await bootRuntime({
    info: manifest.runtime,
    wasm,
    snapshot: image.snapshot,
    made(module) {
      completeImage(image, module.HEAPU8);
      say("engine");
    },
  });
  return doorsOf(runtime);
}

/**
 * @param {Manifest} manifest
 * @param {Promise<WebAssembly.Module>} wasm
 * @param {(name: PartName) => ReturnType<typeof openPart>} part
 * @param {(phase: Phase) => void} say
 */
async function fromWheel(manifest, wasm, part, say) {
  const wheel = bytesOf(part("engine"));
  wheel.catch(() => {});
  const stdlib = await bytesOf(part("stdlib"));
  const runtime = await bootRuntime({ info: manifest.runtime, wasm, stdlib, made: () => say("engine") });
  say("engine");
  runtime.unpackArchive(await wheel, "wheel");
  return doorsOf(runtime);
}

/**
 * One door for both: what is asked of practice is called by a verb behind its name, as no calculation is.
 *
 * @param {import("./runtime.js").Runtime} runtime
 * @returns {Doors}
 */
function doorsOf(runtime) {
  const { answer_for_page: calculate, rehearse } = runtime.pyimport("calc_engine.page");
  const practise = runtime.pyimport("practice.page").answer_for_practice;
  if (!calculate || !rehearse || !practise) throw new LoadProblem("fault", "the engine is not in its file", "Build the manual again");
  return {
    answer: (name, request) =>
      name.startsWith(PRACTICE) ? practise(name.slice(PRACTICE.length), request) : calculate(name, request),
    rehearse,
  };
}
