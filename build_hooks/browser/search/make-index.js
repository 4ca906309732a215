/**
 * Makes the ready index when the manual is built, so that no page has to: the index file's data goes in, the library's own
 * form of the index comes out, both as JSON. Runs in Node from a bundle.
 */

import { builtIndex } from "./index-of.js";

/** @typedef {{ stdin: AsyncIterable<Uint8Array>, stdout: { write(text: string): void } }} Streams */

const streams = /** @type {{ process: Streams }} */ (/** @type {unknown} */ (globalThis)).process;

async function make() {
  const decoder = new TextDecoder();
  let text = "";
  for await (const chunk of streams.stdin) text += decoder.decode(chunk, { stream: true });
  const { mini } = builtIndex(JSON.parse(text + decoder.decode()));
  streams.stdout.write(JSON.stringify(mini));
}

void make();
