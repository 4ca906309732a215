/**
 * Starts the runtime once, imports the engine and warms it up, and saves the memory.
 *
 *   node make-image.mjs JOB.json
 *
 * JOB.json: {runtime: folder of the runtime's package, stdlib: file, engine: folder, warm: file, target: file,
 * build: hash, version: text, examples: [{calculation, request, right}]}
 */

import { readFile, readdir, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";

import { completeImage, readImage, stretchesWhere, writeImage } from "../worker/memory-image.js";
import { scrub } from "./scrub.mjs";

/** @typedef {{runtime: string, stdlib: string, engine: string, warm: string, target: string, build: string, version: string, examples: {calculation: string, request: string, right: string}[]}} Job */

/** @type {Job} */
const job = JSON.parse(await readFile(process.argv[2] ?? "", "utf8"));

/**
 * The same content gives the same image: no time of day and no chance in it.
 *
 * @param {number} time what either clock shows, in milliseconds
 * @param {number} chance the value of each random byte
 * @param {number} [step] by how much the clocks go on whenever they are read
 */
function fix(time, chance, step = 0) {
  let now = time;
  Date.now = performance.now = () => (now += step);
  crypto.getRandomValues = (array) => {
    if (array) new Uint8Array(array.buffer, array.byteOffset, array.byteLength).fill(chance);
    return array;
  };
}
fix(0, 0);

// Each differs from the others in its seconds, in its thousandths and in their fractions, and they go on while the runtime
// starts: it keeps a clock in several words, and what has passed between two looks at it in another. A word that stands
// still in all trials would be taken for one that never changes, and a machine on which a millisecond passes between those
// two looks could not use the image.
const OTHER_TIMES = [201, 1_402.6, 77_803.004, 1_764_072_615_904.75];

/** @type {typeof import("pyodide")} */
const { loadPyodide } = await import(pathToFileURL(join(job.runtime, "pyodide.mjs")).href);
await import(pathToFileURL(join(job.runtime, "pyodide.asm.js")).href);
const create = found(globalThis._createPyodideModule, "the runtime's script is missing");

const lock = JSON.parse(await readFile(join(job.runtime, "pyodide-lock.json"), "utf8"));
/** @type {import("pyodide").PyodideConfig & {_sysExecutable: string}} */
const settings = {
  stdLibURL: job.stdlib,
  lockFileContents: { info: lock.info, packages: {} },
  _sysExecutable: "./this.program", // As in a browser, and not the path of this script.
};

// What a browser can do is found out while the runtime is made. The image is made as on one that can do the least, so
// that it comes out the same under every version of Node and fits every browser.
Object.defineProperty(globalThis, "navigator", { value: { userAgent: "iPhone", platform: "" } });

/**
 * @template T
 * @param {T | undefined} value
 * @param {string} otherwise
 * @returns {T}
 */
function found(value, otherwise) {
  if (value === undefined) throw new Error(otherwise);
  return value;
}

/**
 * Memory as the program file leaves it: what a browser has before it puts the image in.
 *
 * @param {number} length of the snapshot that will be put in
 * @param {object} [more] settings
 */
async function freshMemory(length, more = {}) {
  /** @type {Uint8Array<ArrayBuffer> | undefined} */
  let fresh;
  globalThis._createPyodideModule = async (given) => {
    fresh = (await create(given)).HEAPU8.slice();
    throw new Error("enough");
  };
  await loadPyodide({ ...settings, ...more, _loadSnapshot: new Uint8Array(length) }).catch((fault) => {
    if (!fresh) throw fault;
  });
  return found(fresh, "no memory was made");
}

async function startedMemory() {
  /** @type {EmscriptenModule | undefined} */
  let made;
  globalThis._createPyodideModule = async (given) => (made = await create(given));
  // For what was not compiled before: no docstrings, no assertions, no columns.
  const env = { PYTHONOPTIMIZE: "2", PYTHONNODEBUGRANGES: "1", PYTHONHASHSEED: "0" };
  const runtime = await loadPyodide({ ...settings, _makeSnapshot: true, env });
  const module = found(made, "no memory was made");
  for (const name of (await readdir(job.engine, { recursive: true })).sort()) {
    if (!/\.pyc?$/.test(name)) continue;
    runtime.FS.mkdirTree(dirname(`/engine/${name}`));
    runtime.FS.writeFile(`/engine/${name}`, await readFile(join(job.engine, name)));
  }
  runtime.runPython("import sys; sys.path.insert(0, '/engine')");
  runtime.runPython(await readFile(job.warm, "utf8"));
  const shared = module._emscripten_stack_get_end() & ~63;
  // Where the runtime keeps which way of calling C functions this browser allows.
  const page = [module.__PyRuntime + found(module.HEAP32[module.__PyEM_EMSCRIPTEN_COUNT_ARGS_OFFSET >> 2], "no such word")];
  scrub(module);
  return { snapshot: new Uint8Array(runtime.makeMemorySnapshot()), memory: module.HEAPU8.length, shared, page };
}

/** @param {Uint8Array<ArrayBuffer>} file */
async function askAll(file) {
  const image = readImage(file);
  globalThis._createPyodideModule = async (given) => {
    const module = await create(given);
    completeImage(image, module.HEAPU8);
    return module;
  };
  // In place of the library, a file that is none: the image must do without it.
  const runtime = await loadPyodide({ ...settings, stdLibURL: job.warm, _loadSnapshot: image.snapshot });
  const answer = runtime.pyimport("calc_engine.page").answer_for_page;
  provoke(answer);
  for (const { calculation, request, right } of job.examples) {
    if (answer(calculation, request) !== right) throw new Error(`the image gives no right answer to ${calculation} when it is restored`);
  }
}

/**
 * A fault of the engine must reach the page as one, with nothing missing to tell it.
 *
 * @param {(calculation: unknown, request: unknown) => string} answer
 */
function provoke(answer) {
  try {
    answer(1, 2);
  } catch (fault) {
    if (fault instanceof Error && fault.message.includes("TypeError")) return;
    throw fault;
  }
  throw new Error("a call that must fail does not");
}

async function main() {
  const { snapshot, memory, shared, page } = await startedMemory();
  const fresh = await freshMemory(snapshot.length);
  /** @type {Uint8Array[]} */
  const others = [];
  for (const [index, time] of OTHER_TIMES.entries()) {
    fix(time, 201 + 7 * index, 0.7 + 1.3 * index);
    others.push(await freshMemory(snapshot.length, { _sysExecutable: `/another/name/${index}` }));
  }
  const own = stretchesWhere(shared, 64, (from, to) => {
    const differs = others.some((other) => fresh.subarray(from, to).some((byte, at) => byte !== other[from + at]));
    return differs || page.some((address) => address >= from && address < to);
  });
  const facts = { build: job.build, engine: job.version, memory: snapshot.length - memory, shared, own, page };
  const file = writeImage(snapshot, fresh, facts);
  await askAll(file);
  await writeFile(job.target, file);
}

// One line, without the pages of its own script that Node would print around it.
await main().catch((fault) => {
  process.exitCode = 1;
  console.error(String(fault.message ?? fault).trim().split("\n").at(-1));
});
