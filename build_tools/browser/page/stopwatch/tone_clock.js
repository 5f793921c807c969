/**
 * When a tone is heard, on the clock that presses are stamped with.
 *
 * Both clocks are read side by side, again and again. The audio clock goes on in blocks, so that it may be read
 * late and never early: the least distance between the two is the true one.
 */

/** The clocks part by more than this only where the sound was held up, by a call or another program. */
const HELD_UP_MS = 60;

export class ToneClock {
  #context;
  #apart = Infinity;

  /** @param {AudioContext} context */
  constructor(context) {
    this.#context = context;
  }

  /**
   * Read both clocks.
   * @returns {boolean} whether the sound has gone on since they were first read
   */
  look() {
    const apart = performance.now() - 1000 * this.#context.currentTime;
    this.#apart = Math.min(this.#apart, apart);
    return this.#context.state === "running" && apart - this.#apart < HELD_UP_MS;
  }

  /** Whether the browser says how long sound takes on its way out. */
  get saysDelay() {
    return this.#context.outputLatency > 0;
  }

  /**
   * When a tone is heard, in ms of the page's clock, as far as the browser says how late it comes out.
   * @param {number} at seconds of the audio clock
   */
  heardAt(at) {
    return 1000 * (at + (this.saysDelay ? this.#context.outputLatency : 0)) + this.#apart;
  }
}
