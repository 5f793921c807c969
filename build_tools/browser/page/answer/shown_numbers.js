/**
 * How many digits of a result a person sees; the same rules stand in build_tools/shown/shown_numbers.py.
 */
import { say } from "../shared/words.js";

const MINUS = "\u2212";

/**
 * @param {number} value
 * @param {string} way "fixed:2", "significant:3", "percent", "signed" or "whole"
 */
export function shownNumber(value, way) {
  if (way === "percent") return percent(value);
  if (way === "signed") return value > 0 ? `+${value}` : String(value).replace("-", MINUS);
  if (way === "whole") return String(value).replace("-", MINUS);
  const [rule, digits] = way.split(":");
  const text = rule === "fixed" ? value.toFixed(Number(digits)) : significant(value, Number(digits));
  return withMark(text.replace("-", MINUS));
}

/** A setting in words: as found, or so many half turns tighter or looser. */
export function settingText(halfTurns) {
  if (!halfTurns) return say("page.setting.as-found");
  const way = halfTurns > 0 ? "tighter" : "looser";
  return say(`page.setting.${way}.${Math.abs(halfTurns) === 1 ? "one" : "many"}`, {
    count: Math.abs(halfTurns),
  });
}

/** A number's text with the language's decimal mark. */
export function withMark(text) {
  return text.replace(".", say("decimal-mark"));
}

/** Nothing is ever 0 % or 100 % sure. */
function percent(value) {
  if (value > 0.99) return say("page.percent.over", { percent: 99 });
  if (value < 0.01) return say("page.percent.under", { percent: 1 });
  return say("page.percent.plain", { percent: (value * 100).toFixed(0) });
}

function significant(value, digits) {
  if (value === 0) return "0";
  const text = value.toExponential(digits - 1);
  return Number(text).toFixed(Math.max(0, digits - 1 - Number(text.split("e")[1])));
}
