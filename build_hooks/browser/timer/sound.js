const TONES = [0, 0.3, 0.6]; // Seconds from the first.
const LENGTH = 0.18;
const PITCH = 880; // Hz: heard over a compressor, and by ears that have lost the high tones.

/** Three short tones. Browsers play nothing before the reader has pressed something on the page. */
export class Sound {
  /** @type {AudioContext | undefined} */
  #context;

  /** @param {() => boolean} isWanted whether it may be needed on this page */
  constructor(isWanted) {
    // Prepared by whatever is pressed first, so that a timer can sound later by itself.
    const prepare = () => void (isWanted() && this.#open());
    for (const name of ["click", "keyup"]) document.addEventListener(name, prepare);
  }

  /** @returns {Promise<boolean>} whether it could be heard */
  async play() {
    const context = await this.#open();
    if (context?.state !== "running") return false;
    for (const after of TONES) tone(context, context.currentTime + after);
    return true;
  }

  async #open() {
    try {
      this.#context ??= new AudioContext();
      if (this.#context.state === "suspended" && navigator.userActivation?.hasBeenActive !== false) await this.#context.resume();
    } catch {
      // No sound on this device; the mark is seen all the same.
    }
    return this.#context;
  }
}

/**
 * @param {AudioContext} context
 * @param {number} at
 */
function tone(context, at) {
  const voice = context.createOscillator();
  const volume = context.createGain();
  voice.frequency.value = PITCH;
  voice.type = "square";
  volume.gain.value = 0.25;
  voice.connect(volume).connect(context.destination);
  voice.start(at);
  voice.stop(at + LENGTH);
}
