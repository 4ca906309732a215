/* Called by the scripts with the units' data (build_hooks/learning/exercises.py). */

declare global {
  var benchleafUnit: ((id: string, text: string) => void) | undefined;
}

export {};
