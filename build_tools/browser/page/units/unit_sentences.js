/**
 * Sentences in the units that a reader has chosen. The calculators speak SI; their sentences name number and unit.
 */
import { fieldLabel } from "../sheet/entry.js";
import { shownNumber } from "../answer/shown_numbers.js";
import { fromWire, ofSystem, TOLD, toldUnit, toWire } from "./units.js";
import { fill, say, template } from "../shared/words.js";

const LEAST_DIGITS = 3;
const UNIT = `[ \\u00a0](${TOLD.map((unit) => unit.replaceAll("/", "\\/")).join("|")})(?![\\w\u00b7/])`;
const BLANK = new RegExp(`\\{(\\w+)(?::\\.(\\d)f)?\\}${UNIT}`, "g");
const DIGITS = "(?<![\\w.,])([-\u2212]?\\d+(?:[.,]\\d+)?)";
const NUMBER = new RegExp(`(?:${DIGITS}(${betweenEnds().join("|")}))?${DIGITS}${UNIT}`, "g");

/**
 * A calculator's sentence, each quantity converted from its exact value.
 * @param {{code: string, values: Record<string, string | number>, text: string}} sentence
 */
export function told({ code, values, text }) {
  const written = template(code);
  if (!written || !changes(written)) return text;
  const converted = written.replace(BLANK, (whole, name, decimals, unit) => {
    const shown = fill(whole.slice(0, whole.indexOf("}") + 1), values);
    return inToldUnit(Number(values[name]), unit, digitsOf(shown));
  });
  return fill(converted, values);
}

/**
 * A finished sentence, its quantities converted as far as their digits go.
 * @param {string} text
 */
export function toldText(text) {
  return text.replace(NUMBER, (whole, low, between, number, unit) => {
    if (toldUnit(unit) === unit) return whole;
    const shown = (written) =>
      inToldUnit(Number(written.replace("\u2212", "-").replace(",", ".")), unit, digitsOf(written));
    return low === undefined ? shown(number) : `${shown(low)}${between}${shown(number)}`;
  });
}

/**
 * What is wrong with a field, with number and range in the units in which it was written.
 * @param {HTMLElement | null} field
 * @param {{value: unknown, message: string}} error
 * @param {string} given what was written, with its unit
 */
export function toldError(field, error, given) {
  if (!field?.dataset.allowed) return toldText(error.message);
  const values = { label: fieldLabel(field), given, allowed: ofSystem(field.dataset.allowed) };
  if (typeof error.value === "string")
    return say("error.not-a-number", { ...values, given: JSON.stringify(error.value) });
  return isOutside(field, error.value) ? say("error.out-of-range", values) : toldText(error.message);
}

function isOutside(field, value) {
  if (typeof value !== "number") return false;
  const { low, high } = field.dataset;
  return value < Number(low) || value > Number(high) || ("lowOpen" in field.dataset && value === Number(low));
}

function changes(written) {
  return [...written.matchAll(BLANK)].some(([, , , unit]) => toldUnit(unit) !== unit);
}

function inToldUnit(number, unit, digits) {
  const shown = fromWire(toWire(number, unit), toldUnit(unit));
  return `${shownNumber(shown, `significant:${Math.max(LEAST_DIGITS, digits)}`)}\u00a0${toldUnit(unit)}`;
}

/** How many significant digits a written number has. */
function digitsOf(number) {
  return number.replace(/[^\d]/g, "").replace(/^0+/, "").length;
}

/** What stands between the ends of a range, in the book's language: its unit is written once, and counts for both. */
function betweenEnds() {
  const ranges = [template("error.range"), template("error.range-open")].filter(Boolean);
  const between = ranges.map((range) => /\{low\}(.*)\{high\}/.exec(range)?.[1] ?? " ");
  return between.map((text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
}
