/**
 * One timed run: the difference of two presses' own timestamps, or of a tone and a press, within one life of the page.
 */

/** Two presses closer than this are one press of a gloved thumb that bounced. */
const BOUNCE_MS = 80;
/** The wall clock and the page's clock part by more than this only where the phone slept or its clock was set. */
const SLEPT_MS = 250;

/**
 * @typedef {{kind: "bounce"} | {kind: "started"} | {kind: "stopped", seconds: number, spoiled: string}} Press
 */
export class RunTimer {
  #started = 0;
  #wall = 0;
  #last = -Infinity;
  #spoiled = "";
  running = false;

  /**
   * Press once: the first starts, the second stops.
   * @param {number} stamp the event's timestamp in ms
   * @param {number} wall the wall clock at that stamp in ms
   * @returns {Press} `spoiled` is "" or the code of the reason why the run does not count
   */
  press(stamp, wall) {
    if (stamp - this.#last < BOUNCE_MS) return { kind: "bounce" };
    this.#last = stamp;
    if (this.running) return this.end(stamp, wall);
    this.begin(stamp, wall);
    return { kind: "started" };
  }

  /** Start at a moment that nobody pressed at: the tone of a countdown. */
  begin(stamp, wall) {
    this.running = true;
    this.#started = stamp;
    this.#wall = wall;
    this.#spoiled = "";
  }

  /** Say why the run does not count; the first reason stands. */
  spoil(code) {
    if (this.running) this.#spoiled ||= code;
  }

  /** Seconds since the start, 0 where nothing runs. */
  elapsed(now) {
    return this.running ? (now - this.#started) / 1000 : 0;
  }

  /** End the run that goes on, whatever was pressed before. */
  end(stamp, wall) {
    const lasted = stamp - this.#started;
    if (Math.abs(wall - this.#wall - lasted) > SLEPT_MS) this.spoil("slept");
    this.running = false;
    return { kind: "stopped", seconds: lasted / 1000, spoiled: this.#spoiled };
  }
}
