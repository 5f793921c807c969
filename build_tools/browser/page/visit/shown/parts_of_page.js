/** Parts that several pages of a visit are made of. */
import { element } from "../../shared/element.js";

/** A button that does something, and does it once at a time. @param {string} text @param {(event: Event) => unknown} act */
export function button(text, act, properties = {}) {
  const made = element("button", { type: "button", className: "ht-button", ...properties }, text);
  let busy = false; // and not disabled: that would lose the focus
  made.addEventListener("click", async (event) => {
    if (busy) return;
    busy = true;
    try {
      await act(event);
    } finally {
      busy = false;
    }
  });
  return made;
}

/** Buttons with room for a thumb between them. @param {...(HTMLElement | null)} made */
export const buttons = (...made) => element("div", { className: "ht-visit-buttons" }, ...made);

/** A field with its label over it. @param {string} text @param {HTMLElement} field */
export function labeled(text, field) {
  return element("label", { className: "ht-visit-field" }, element("span", {}, text), field);
}

/** A line that leads on, with room for a thumb. @param {string} href @param {string} text */
export function lineLink(href, text) {
  return element("a", { href, className: "ht-visit-line" }, text);
}

/** @param {...any} content */
export const paragraph = (...content) => element("p", {}, ...content);

/** A part of a page under its heading. @param {string} part @param {string} heading @param {...any} content */
export function section(part, heading, ...content) {
  return element("section", { dataset: { part } }, element("h2", {}, heading), ...content);
}

/** Terms and what is said of each, one a row; a row without anything to say is left out. @param {[string, any][]} rows */
export function facts(rows) {
  const filled = rows.filter(([, value]) => value !== null && value !== undefined && value !== "");
  return element(
    "dl",
    { className: "ht-facts" },
    ...filled.map(([term, value]) => element("div", {}, element("dt", {}, term), element("dd", {}, value))),
  );
}

/** What is left open: its sign and its words. @param {string} text */
export function leftOpen(text) {
  const sign = element("span", { className: "ht-open-sign", ariaHidden: "true" });
  return element("span", { className: "ht-left-open" }, sign, text);
}
