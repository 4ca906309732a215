/**
 * @typedef {object} Step
 * @property {string} id
 * @property {"page" | "practice" | "task"} form
 * @property {string} title
 * @property {{kind: string, unit: string, pack: string, count: number}} [practice]
 * @property {string} [seen_by]
 *
 * @typedef {object} Path
 * @property {string} id
 * @property {string} name
 * @property {string} edition
 * @property {string[]} editions oldest first
 * @property {{edition: string, what: string, steps: string[]}[]} changes
 * @property {string[]} needs
 * @property {Step[]} steps
 *
 * @typedef {object} StepState how far a person is with a step
 * @property {Step} step
 * @property {"done" | "again" | "open"} state again: it was done in an edition that has been changed in this step since
 * @property {any} record what says that it was done, if anything does
 * @property {number} right of a practice: how many exercises were right at the first go
 *
 * @typedef {object} PathState how far a person is with a path
 * @property {Path} path
 * @property {StepState[]} steps
 * @property {number} done
 * @property {Step | null} next
 * @property {string | null} began the oldest edition that anything was done in
 */

/**
 * Everything that was done by a person.
 *
 * @param {import("../records/record-database.js").RecordDatabase} records
 * @param {string} person
 */
export async function doneBy(records, person) {
  const [steps, signed, attempts] = await Promise.all(["step", "signed", "attempt"].map((kind) => records.all(kind)));
  const own = (/** @type {any[]} */ values) => values.filter((value) => value.person === person);
  return { steps: own([...(steps ?? []), ...(signed ?? [])]).filter((record) => !record.taken_back), attempts: own(attempts ?? []) };
}

/**
 * @param {Path} path
 * @param {Awaited<ReturnType<typeof doneBy>>} done
 * @returns {PathState}
 */
export function stateOf(path, done) {
  const records = done.steps.filter((record) => record.path === path.id);
  const attempts = done.attempts.filter((attempt) => attempt.path === path.id);
  const steps = path.steps.map((step) => (step.practice ? practiceState(path, step, attempts) : stepState(path, step, records)));
  const editions = [...records, ...attempts].map((record) => record.edition);
  return {
    path,
    steps,
    done: steps.filter(({ state }) => state === "done").length,
    next: steps.find(({ state }) => state !== "done")?.step ?? null,
    began: path.editions.find((edition) => editions.includes(edition)) ?? null,
  };
}

/**
 * Whether what was done in an edition still counts: no later edition has changed the step.
 *
 * @param {Path} path
 * @param {Step} step
 * @param {string} edition
 */
function counts(path, step, edition) {
  const later = path.editions.slice(path.editions.indexOf(edition) + 1);
  return !path.changes.some((change) => later.includes(change.edition) && change.steps.includes(step.id));
}

/**
 * @param {Path} path
 * @param {Step} step
 * @param {any[]} records
 * @returns {StepState}
 */
function stepState(path, step, records) {
  const record = records.find((found) => found.step === step.id) ?? null;
  if (!record) return { step, state: "open", record, right: 0 };
  return { step, state: counts(path, step, record.edition) ? "done" : "again", record, right: 0 };
}

/**
 * @param {Path} path
 * @param {Step} step
 * @param {any[]} attempts
 * @returns {StepState}
 */
function practiceState(path, step, attempts) {
  const good = attempts.filter((attempt) => attempt.step === step.id && attempt.right && attempt.first);
  const current = good.filter((attempt) => counts(path, step, attempt.edition));
  const wanted = step.practice?.count ?? 0;
  // The same exercise once more is no further proof.
  const right = new Set(current.map((attempt) => attempt.seed)).size;
  const last = current.at(-1) ?? null;
  if (right >= wanted) return { step, state: "done", record: last, right };
  return { step, state: new Set(good.map((attempt) => attempt.seed)).size >= wanted ? "again" : "open", record: null, right };
}

/**
 * The paths that must be finished first and are not.
 *
 * @param {Path} path
 * @param {Path[]} paths
 * @param {Awaited<ReturnType<typeof doneBy>>} done
 * @returns {PathState[]}
 */
export function unfinishedNeeds(path, paths, done) {
  return path.needs
    .flatMap((name) => paths.filter(({ id }) => id === name))
    .map((needed) => stateOf(needed, done))
    .filter((state) => state.next !== null);
}
