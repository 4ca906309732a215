import { RecordDatabase } from "../records/record-database.js";
import { faultOfRecord } from "../records/record-schema.js";
import { BenchExercise } from "./exercise.js";
import { Learning } from "./learning.js";
import { BenchPath } from "./path.js";
import { BenchPaths } from "./paths.js";
import { BenchPractice } from "./practice.js";
import { BenchRecord } from "./record.js";

const ELEMENTS = {
  "bench-exercise": BenchExercise,
  "bench-practice": BenchPractice,
  "bench-path": BenchPath,
  "bench-paths": BenchPaths,
  "bench-record": BenchRecord,
};

/**
 * The elements of the learning part. On a page without one nothing is opened and nothing is started.
 *
 * @param {object} given
 * @param {import("../engine/client/engine-client.js").EngineClient} given.engine
 * @param {import("../page/store.js").Store} given.store
 * @param {string} given.prefix distinguishes this manual from others
 * @param {string} given.assets address of the folder that the page's script lies in
 */
export function defineLearning({ engine, store, prefix, assets }) {
  const learning = new Learning({ engine, records: new RecordDatabase(`${prefix}kept`, faultOfRecord), store, assets });
  for (const shared of [BenchExercise, BenchPath, BenchPaths, BenchRecord]) shared.learning = learning;
  for (const [name, element] of Object.entries(ELEMENTS)) if (!customElements.get(name)) customElements.define(name, element);
}
