/**
 * A person's own habit of pressing, from folds of a drawn lip whose time is known, and what of it counts on a sheet.
 *
 * The uncertainty of a mean bias is that of the mean, s / sqrt(n), together with what is not known of the screen's
 * own delay; neither it nor the scatter counts as less than a registered floor.
 */
import { keep, kept } from "../shared/kept.js";

const NAME = "own-timing";

/**
 * @typedef {object} OwnTiming what is kept on the phone
 * @property {number[]} stop how late each stop was pressed, s
 * @property {number[]} start how long after letting go each start was pressed, s
 * @property {boolean} used whether it takes the place of the registered figures
 *
 * @typedef {object} Habit
 * @property {number} count folds
 * @property {number} mean s
 * @property {number} sd s
 * @property {number} degrees of freedom
 * @property {{bias_s: number, bias_uncertainty_s: number, scatter_s: number}} row for the calculator
 */

/** @returns {OwnTiming} */
export function ownTiming() {
  return { stop: [], start: [], used: false, ...kept(NAME) };
}

/** @param {OwnTiming} timing */
export function keepOwnTiming(timing) {
  keep(NAME, timing);
}

/** The registered figures of the drawn lip, null where the book has none. */
export function ownFigures(section) {
  const text = section.querySelector("[data-own-timing]")?.dataset.ownTiming;
  return text ? JSON.parse(text) : null;
}

/** The habit at the stop: late makes a run read long. @returns {Habit | null} null below two folds */
export function stopHabit(late, figures) {
  const { screen_delay_s: delay, screen_delay_uncertainty_s: doubt, stop_floor_s: floor } = figures;
  return habit(late, (mean) => mean - delay, doubt, floor);
}

/** The habit at a start by hand: late makes a run read short. @returns {Habit | null} */
export function startHabit(late, figures) {
  return habit(late, (mean) => -mean, 0, figures.start_floor_s);
}

/** The ways of timing with this person's own in place of the registered ones, where they are chosen and enough. */
export function withOwnHabit(section, rows) {
  const figures = ownFigures(section);
  const timing = ownTiming();
  if (!figures || !timing.used) return rows;
  const own = {
    sharp: enough(timing.stop, figures) && stopHabit(timing.stop, figures),
    "by-hand": enough(timing.start, figures) && startHabit(timing.start, figures),
  };
  return rows.map((row) => (own[row.way] ? { ...row, ...own[row.way].row } : row));
}

/** Whether there are folds enough to count. */
export function enough(late, figures) {
  return late.length >= figures.folds;
}

function habit(late, biasOf, doubt, floor) {
  const count = late.length;
  if (count < 2) return null;
  const mean = late.reduce((sum, each) => sum + each, 0) / count;
  const sd = Math.sqrt(late.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (count - 1));
  const row = {
    bias_s: rounded(biasOf(mean)),
    bias_uncertainty_s: rounded(Math.max(floor, Math.hypot(sd / Math.sqrt(count), doubt))),
    scatter_s: rounded(Math.max(floor, sd)),
  };
  return { count, mean, sd, degrees: count - 1, row };
}

/** Hundredths of a millisecond say more than any press does. */
function rounded(seconds) {
  return Math.round(seconds * 1e5) / 1e5;
}
