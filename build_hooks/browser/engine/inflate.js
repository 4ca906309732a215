/**
 * A gzip stream inflated. What is not gzip passes unchanged: some servers inflate a `.gz` file on the way.
 *
 * @param {ReadableStream<Uint8Array<ArrayBuffer>>} stored
 * @returns {Promise<ReadableStream<Uint8Array<ArrayBuffer>>>}
 */
export async function inflated(stored) {
  const reader = stored.getReader();
  const first = await reader.read();
  const whole = new ReadableStream({
    start(controller) {
      if (first.value) controller.enqueue(first.value);
      if (first.done) controller.close();
    },
    async pull(controller) {
      const { value, done } = await reader.read();
      if (done) controller.close();
      else controller.enqueue(value);
    },
    cancel: (reason) => reader.cancel(reason),
  });
  const packed = first.value?.[0] === 0x1f && first.value[1] === 0x8b;
  return packed ? whole.pipeThrough(new DecompressionStream("gzip")) : whole;
}
