/**
 * Answers requests of practice in the browser's runtime, under Node: one reply a line on standard output.
 *
 * Usage: node parity.mjs JOB.json, with {"root": the repository, "requests": [[verb, text], ...]}.
 */
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const job = JSON.parse(readFileSync(process.argv[2], "utf8"));
const { loadPyodide } = await import(pathToFileURL(join(job.root, "node_modules", "pyodide", "pyodide.mjs")).href);
const runtime = await loadPyodide({ indexURL: join(job.root, "node_modules", "pyodide") + "/" });
for (const name of ["calc_engine", "practice"]) {
  runtime.FS.mkdirTree(`/code/${name}`);
  for (const file of readdirSync(join(job.root, name)).filter((found) => found.endsWith(".py"))) {
    runtime.FS.writeFile(`/code/${name}/${file}`, readFileSync(join(job.root, name, file)));
  }
}
runtime.runPython('import sys; sys.path.insert(0, "/code")');
const answer = runtime.pyimport("calc_engine.practice.page").answer_for_practice;
for (const [verb, text] of job.requests) console.log(JSON.stringify(answer(verb, text)));
