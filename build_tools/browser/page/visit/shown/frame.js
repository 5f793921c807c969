/**
 * The one look of every screen of a visit: a line that says where one is, the heading, what is told, and the acts at the
 * foot, where a thumb is.
 */
import { element } from "../../shared/element.js";

/**
 * @typedef {object} Framed
 * @property {string} title the heading, which gets the focus
 * @property {string} [kind] for the style
 * @property {(Node | null)[]} [top] beside the heading's line: where one is, the way to the menu
 * @property {(Node | null | undefined)[]} body
 * @property {(Node | null)[]} [acts] the last one is the main act
 */

/**
 * Show a screen in place of what is there, and begin at its heading.
 * @param {HTMLElement} place
 * @param {Framed} framed
 */
export function frame(place, { title, kind = "", top = [], body, acts = [] }) {
  const heading = element("h1", { className: "ht-visit-heading", tabIndex: -1 }, title);
  const screen = element(
    "div",
    { className: "ht-visit-screen", dataset: { kind } },
    element("div", { className: "ht-visit-top" }, heading, ...top),
    element("div", { className: "ht-visit-body" }, ...body),
    acts.length ? element("div", { className: "ht-visit-acts" }, ...acts) : null,
  );
  place.replaceChildren(screen);
  scrollTo({ top: 0, behavior: "instant" });
  heading.focus({ preventScroll: true });
  return screen;
}

/**
 * A button of a screen.
 * @param {string} text
 * @param {() => void} act
 * @param {Record<string, any>} [properties]
 */
export function button(text, act, properties = {}) {
  const made = element("button", { type: "button", className: "ht-visit-act", ...properties }, text);
  made.addEventListener("click", act);
  return made;
}

/** A sentence in the screen. @param {string | Node} text @param {Record<string, any>} [properties] */
export function line(text, properties = {}) {
  return element("p", properties, text);
}
