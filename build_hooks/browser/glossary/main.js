/** Shows what a trade word means beside it, when it is pressed, gets the focus, or the pointer rests on it. */

import { WordNotes } from "./word-notes.js";

new WordNotes(document).listen();
