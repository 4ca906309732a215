/**
 * Fills with zeros what a started runtime no longer uses. The memory of a program is full of what has been freed; it
 * does no harm, but it makes the saved image half as large again.
 *
 * @param {EmscriptenModule} runtime
 */
export function scrub(runtime) {
  scrubStack(runtime);
  scrubHeap(runtime);
}

/** @param {EmscriptenModule} runtime */
function scrubStack(runtime) {
  const margin = 64; // The stack grows downwards; a few words below its end may be in use.
  runtime.HEAPU8.fill(0, runtime._emscripten_stack_get_end() + 16, runtime.stackSave() - margin);
}

/**
 * Takes every free block that the allocator has, without letting it ask for more memory, fills it and gives it back.
 *
 * @param {EmscriptenModule} runtime
 */
function scrubHeap(runtime) {
  runtime._malloc_set_footprint_limit(runtime._malloc_footprint());
  /** @type {number[]} */
  const taken = [];
  for (let size = 1 << 22; size >= 4; size = size > 1024 ? size >> 1 : size - 4) {
    for (let block = runtime._PyMem_RawMalloc(size); block; block = runtime._PyMem_RawMalloc(size)) {
      runtime.HEAPU8.fill(0, block, block + runtime._malloc_usable_size(block));
      taken.push(block);
    }
  }
  for (const block of taken) runtime._PyMem_RawFree(block);
  runtime._malloc_set_footprint_limit(-1);
}
