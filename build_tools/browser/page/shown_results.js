/**
 * The text of one result, by the rule that the build wrote beside its place.
 */
import { shownNumber } from "./shown_numbers.js";
import { isSaid, say } from "./words.js";

/**
 * @param {string} calculator
 * @param {{show?: string, unit?: string, field?: string}} place the data of the place where it stands
 * @param {any} value
 * @returns {string} "" for an empty list
 */
export function shownResult(calculator, { show, unit, field }, value) {
  if (show === "words") return choiceText(calculator, field, value);
  if (show === "flag") return say(`page.flag.${value}`);
  if (show === "text") return value.text ?? value;
  const text = [value].flat().map((number) => shownNumber(number, show)).join(", ");
  return unit && text ? `${text} ${unit}` : text;
}

function choiceText(calculator, field, value) {
  const code = `${calculator}.${field.replace(/\[\d+\]/g, "")}.${value}`;
  const last = `${calculator}.${field.slice(field.lastIndexOf(".") + 1)}.${value}`;
  return [code, last, `page.choice.${value}`].filter(isSaid).map((known) => say(known))[0] ?? String(value);
}
