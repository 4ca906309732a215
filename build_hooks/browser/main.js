/** The page's script: the panels of the page, one engine for all of them, and what is stored. */

import { defineCalcPanel } from "./calc-panel/define.js";
import { Inlined } from "./engine/client/inlined.js";
import { EngineClient } from "./engine/client/engine-client.js";
import { startWhenQuiet } from "./engine/client/engine-start.js";
import { UnitsChoice } from "./calc-panel/form/units-choice.js";
import { watchDrawings } from "./drawings/wide-drawings.js";
import { defineDoors } from "./doors/doors.js";
import { defineGears } from "./gears/gears.js";
import { defineJobs } from "./jobs/define.js";
import { defineLearning } from "./learning/define.js";
import { definePhotos } from "./photo/photo.js";
import { ownThreadHost, workerHost } from "./engine/client/engine-hosts.js";
import { watchPresses } from "./page/after-press.js";
import { Store } from "./page/store.js";
import { Fetched } from "./engine/client/supply.js";
import { runTimers } from "./timer/run.js";

const script = document.currentScript;
const address = script instanceof HTMLScriptElement ? script.src : document.baseURI;
const options = script instanceof HTMLScriptElement ? script.dataset : {};

const base = new URL(`${BENCHLEAF_ENGINE.folder}/`, address).href;
// A page opened from a folder cannot fetch anything; there the engine's parts are inlined in scripts.
const Supply = location.protocol === "file:" ? Inlined : Fetched;

const engine = new EngineClient({
  supply: (arrived) => new Supply(base, BENCHLEAF_ENGINE, arrived),
  hosts: (supply) => [workerHost(supply), ownThreadHost(supply)],
  limits: {
    startSilence: Number(options.startSilence ?? 18000),
    workSilence: Number(options.startSilence ?? 60000),
    run: Number(options.runLimit ?? 20000),
  },
  calculations: () => Array.from(document.querySelectorAll("bench-calc"), (panel) => panel.getAttribute("data-calculator") ?? ""),
});

// The script's address distinguishes manuals that share a host, or the one storage that a browser has for all folders.
const prefix = `benchleaf:${new URL(".", address).pathname}:`;
const store = new Store(() => localStorage, prefix);
const tab = new Store(() => sessionStorage, prefix);
watchPresses();
const timers = runTimers(store);
defineCalcPanel({
  engine,
  units: new UnitsChoice(store),
  readings: defineJobs({ engine, store, tab, timers, prefix }),
});
defineDoors();
defineGears();
definePhotos();
watchDrawings();
defineLearning({
  engine,
  store,
  prefix,
  assets: new URL(".", address).href,
});
if (document.querySelector("bench-calc")) document.documentElement.dataset.engine = "loading";
startWhenQuiet(() => engine.start());
