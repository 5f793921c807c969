/**
 * How far and how finely a value of the sheet can be moved, in the unit in which it is shown.
 */
import { countsDown, hasUnits, SHOWN_DIGITS } from "../sheet/entry.js";
import { plain, rounded } from "../shared/decimal_text.js";
import { withMark } from "../shared/words.js";
import { fromWire, ofSystem, toWire } from "../units/units.js";

const STEPS = 100; // to either side
const REACH = 0.5; // of the value itself
const LEAST_REACH = 0.02; // of its whole range, for a value at or near 0
const LEAST_WHOLE = 5;
const DIGITS = 12;

/**
 * @typedef {object} Scale
 * @property {number} first the lowest step, 0 or less; step 0 is the value as it stands on the sheet
 * @property {number} last
 * @property {(step: number) => number} wireAt
 * @property {(step: number) => string} textAt with its unit
 * @property {(step: number) => {text: string, unit: string | undefined}} writtenAt as a person would write it
 */

/**
 * @param {HTMLElement} field
 * @param {number} value on the wire
 * @returns {Scale}
 */
export function scaleOf(field, value) {
  const unit = hasUnits(field) ? ofSystem(field.dataset.units) : undefined;
  const [low, high, start] = [field.dataset.low, field.dataset.high, value].map((number) =>
    shownIn(Number(number), unit),
  );
  const step = stepOf(field, start, high - low);
  const way = countsDown(field) ? -1 : 1; // to the right is more, whatever its sign on the wire
  const room = [start - low, high - start].map((reach) => Math.ceil(reach / step));
  const [down, up] = way < 0 ? [room[1], room[0]] : room;
  const at = (count) => (count === 0 ? start : rounded(start + way * count * step, DIGITS));
  const wireAt = (count) => (count === 0 ? value : unit ? toWire(at(count), unit) : at(count));
  const steps =
    field.dataset.kind === "whole" ? Math.max(LEAST_WHOLE, Math.round(Math.abs(start) * REACH)) : STEPS;
  const isAllowed = (count) => isWithin(field, wireAt(count));
  const shownAt = (count) => plain(countsDown(field) ? Math.abs(at(count)) : at(count), SHOWN_DIGITS);
  return {
    first: -farthest((count) => isAllowed(-count), Math.min(steps, down)),
    last: farthest(isAllowed, Math.min(steps, up)),
    wireAt,
    textAt: (count) => `${withMark(shownAt(count))} ${unit ?? plainUnit(field)}`.trim(),
    writtenAt: (count) => ({ text: shownAt(count), unit }),
  };
}

/** A value of the inputs by its place: "readings[0].fold_time_s". */
export function valueAt(inputs, place) {
  return keys(place).reduce((found, key) => found?.[key], inputs);
}

/** The inputs with another value in one place; the inputs themselves stay as they are. */
export function withValue(inputs, place, value) {
  const changed = structuredClone(inputs);
  const path = keys(place);
  const last = path.pop();
  path.reduce((found, key) => found[key], changed)[last] = value;
  return changed;
}

function keys(place) {
  return place.split(/[.[\]]+/).filter(Boolean);
}

function shownIn(value, unit) {
  return unit ? fromWire(value, unit) : value;
}

/** A step that reads well: 1, 2 or 5 times a power of ten. */
function stepOf(field, start, range) {
  if (field.dataset.kind === "whole") return 1;
  const wanted = Math.max(Math.abs(start) * REACH, range * LEAST_REACH) / STEPS;
  const power = 10 ** Math.floor(Math.log10(wanted));
  return [1, 2, 5, 10].find((times) => times * power >= wanted * (1 - 1e-9)) * power;
}

/** Of a count's steps, the last that stays inside; only the last one can lie outside. */
function farthest(isAllowed, count) {
  let found = Math.max(0, count);
  while (found > 0 && !isAllowed(found)) found -= 1;
  return found;
}

function isWithin(field, value) {
  const { low, high } = field.dataset;
  return value <= Number(high) && ("lowOpen" in field.dataset ? value > Number(low) : value >= Number(low));
}

function plainUnit(field) {
  return field.querySelector(".ht-unit")?.textContent ?? "";
}
