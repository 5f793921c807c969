/**
 * The text of one result, by the rule that the build wrote beside its place.
 */
import { shownNumber } from "./shown_numbers.js";
import { told } from "../units/unit_sentences.js";
import { fromWire, ofSystem } from "../units/units.js";
import { isSaid, say } from "../shared/words.js";

/**
 * @param {string} calculator
 * @param {{show?: string, unit?: string, units?: string, shows?: string, field?: string}} place the data of the place where it stands
 * @param {any} value
 * @returns {string} "" for an empty list
 */
export function shownResult(calculator, place, value) {
  const { show, unit, field } = inChosenUnits(place);
  if (show === "words") return choiceText(calculator, field, value);
  if (show === "date") return value;
  if (show === "flag") return say(`page.flag.${value}`);
  if (show === "text") return value.text === undefined ? value : told(value);
  const numbers = [value].flat().map((number) => (place.units ? fromWire(number, unit) : number));
  const text = numbers.map((number) => shownNumber(number, show)).join(", ");
  return unit && text ? `${text} ${unit}` : text;
}

function inChosenUnits(place) {
  return place.units ? { ...place, unit: ofSystem(place.units), show: ofSystem(place.shows) } : place;
}

function choiceText(calculator, field, value) {
  const code = `${calculator}.${field.replace(/\[\d+\]/g, "")}.${value}`;
  const last = `${calculator}.${field.slice(field.lastIndexOf(".") + 1)}.${value}`;
  return [code, last, `page.choice.${value}`].filter(isSaid).map((known) => say(known))[0] ?? String(value);
}
