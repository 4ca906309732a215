// Runs the page's own search over queries: node find.mjs INDEX < queries as JSON lines > the first finds of each as JSON.

import { readFileSync } from "node:fs";
import { runInThisContext } from "node:vm";
import { Finder } from "../../../build_hooks/browser/search/finder.js";

runInThisContext(readFileSync(process.argv[2], "utf8"));
const finder = await Finder.open(globalThis.benchleafSearchIndex);
const asked = JSON.parse(readFileSync(0, "utf8"));
const answers = asked.map((typed) => {
  const { finds, whole, inOrder, all, instead } = finder.find(typed);
  return {
    whole,
    inOrder,
    instead,
    count: all,
    finds: finds.slice(0, 20).map(({ entry, score }) => ({ kind: entry.kind, title: entry.title, url: entry.url, page: entry.page, said: entry.said, score })),
  };
});
process.stdout.write(JSON.stringify(answers));
