/** A step as it stands on the screen: its own words, large, with its number where there are several. */
import { element } from "../../shared/element.js";

/** @param {{parts: HTMLElement[]}} step */
export function loneStep({ parts }) {
  return element("div", { className: "ht-visit-words" }, ...parts);
}

/** @param {{number: string, parts: HTMLElement[]}} step */
export function numberedStep(step) {
  const number = element("span", { className: "ht-visit-number" }, step.number);
  return element("div", { className: "ht-visit-step-row" }, number, loneStep(step));
}
