/**
 * One countdown: a lead, three short tones, and the long tone whose moment is the start of the run.
 */
import { ToneClock } from "./tone_clock.js";
import { scheduleTones } from "./tones.js";

const LOOK_MS = 50;

/**
 * @typedef {object} Told
 * @property {(seconds: number) => void} second so many whole seconds are left
 * @property {(start: {stamp: number, saysDelay: boolean}) => void} tone the long tone is heard now, or was at `stamp`
 * @property {() => void} lost the sound was held up: nobody can tell when the tone would be heard
 */

/**
 * Count down.
 * @param {AudioContext} context one that is running
 * @param {number} leadS seconds until the long tone
 * @param {Told} told
 * @returns {() => void} ends the countdown before its tone; called later it only silences the tone
 */
export function countDown(context, leadS, told) {
  const clock = new ToneClock(context);
  const zeroAt = context.currentTime + leadS;
  const silence = scheduleTones(context, zeroAt);
  let timer = 0;
  const end = () => {
    clearTimeout(timer);
    silence();
  };
  const look = () => {
    if (!clock.look()) {
      end();
      told.lost();
      return;
    }
    const stamp = clock.heardAt(zeroAt);
    const left = stamp - performance.now();
    if (left <= 0) {
      told.tone({ stamp, saysDelay: clock.saysDelay });
      return;
    }
    told.second(Math.ceil(left / 1000));
    timer = setTimeout(look, Math.min(LOOK_MS, left));
  };
  look();
  return end;
}
