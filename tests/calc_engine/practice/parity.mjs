/**
 * Answers requests of practice in the browser's runtime, under Node: one reply a line on standard output.
 *
 * Usage: node parity.mjs JOB.json, with {"root": the repository, "requests": [[verb, text], ...]}.
 */
import { readFileSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";

const job = JSON.parse(readFileSync(process.argv[2], "utf8"));
const { loadPyodide } = await import(pathToFileURL(join(job.root, "node_modules", "pyodide", "pyodide.mjs")).href);
const runtime = await loadPyodide({ indexURL: join(job.root, "node_modules", "pyodide") + "/" });
for (const file of readdirSync(join(job.root, "calc_engine"), { recursive: true }).filter((found) => found.endsWith(".py"))) {
  const target = join("/code/calc_engine", file);
  runtime.FS.mkdirTree(dirname(target));
  runtime.FS.writeFile(target, readFileSync(join(job.root, "calc_engine", file)));
}
runtime.runPython('import sys; sys.path.insert(0, "/code")');
const answer = runtime.pyimport("calc_engine.practice.page").answer_for_practice;
for (const [verb, text] of job.requests) console.log(JSON.stringify(answer(verb, text)));
