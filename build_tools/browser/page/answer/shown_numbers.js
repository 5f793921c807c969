/**
 * How many digits of a result a person sees; the same rules stand in build_tools/shown/shown_numbers.py.
 * How they are rounded is said in shared/decimal_text.js.
 */
import { fixed, plain, significant } from "../shared/decimal_text.js";
import { say, withMark } from "../shared/words.js";

/**
 * @param {number} value
 * @param {string} way "fixed:2", "significant:3", "percent", "signed" or "whole"
 */
export function shownNumber(value, way) {
  if (way === "percent") return percent(value);
  return withMark(digitsOf(value, way));
}

/** A setting in words: as found, or so many half turns tighter or looser. */
export function settingText(halfTurns) {
  if (!halfTurns) return say("page.setting.as-found");
  const way = halfTurns > 0 ? "tighter" : "looser";
  return say(`page.setting.${way}.${Math.abs(halfTurns) === 1 ? "one" : "many"}`, {
    count: Math.abs(halfTurns),
  });
}

function digitsOf(value, way) {
  if (way === "signed" || way === "whole")
    return `${way === "signed" && value > 0 ? "+" : ""}${plain(value)}`;
  const [rule, digits] = way.split(":");
  return rule === "fixed" ? fixed(value, Number(digits)) : significant(value, Number(digits));
}

/** Nothing is ever 0 % or 100 % sure. */
function percent(value) {
  if (value > 0.99) return say("page.percent.over", { percent: 99 });
  if (value < 0.01) return say("page.percent.under", { percent: 1 });
  return say("page.percent.plain", { percent: fixed(value * 100, 0) });
}
