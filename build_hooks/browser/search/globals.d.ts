/* What the search's scripts leave for each other, and the few names of Node that make-index.js uses. */

import type { SearchIndex } from "./finder.js";

declare global {
  /** Set by the script with the index (build_hooks/search/index_file.py). */
  var benchleafSearchIndex: SearchIndex | undefined;
}
