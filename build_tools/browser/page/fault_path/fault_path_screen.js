/** The screens of a fault path, made of copies of the table's own words: a question, or an end. */
import { rowsOf } from "./fault_path_way.js";
import { element } from "../shared/element.js";
import { say } from "../shared/words.js";

/**
 * @typedef {import("./fault_path_way.js").Way} Way
 * @typedef {{answer: (answer: string) => void, back: (count: number) => void}} Moves
 */

/**
 * The question: its cautions first, then what to do, then what to answer.
 * @param {HTMLElement} section
 * @param {Way} way
 * @param {Moves} moves
 */
export function questionScreen(section, way, moves) {
  const { question } = way;
  const heading = headingOf(say("page.path.question", { number: textOf(question, "number") }));
  const { told, ask, buttons } = questionParts(question, moves.answer);
  heading.id = "ht-path-heading";
  const cautions = cautionsOf(section, question);
  const group = element("div", { className: "ht-path-question" }, heading);
  if (cautions.length > 1)
    group.append(element("p", {}, say("page.path.cautions", { count: cautions.length })));
  group.append(...cautions);
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", "ht-path-heading ht-path-ask");
  group.append(...told, ...present(ask), buttons);
  return [group, ...answered(way, moves)];
}

/**
 * A question without its cautions: what to do before it is answered, what is asked, and a button for each answer.
 * @param {HTMLElement} question
 * @param {(answer: string) => void} reply
 */
export function questionParts(question, reply) {
  const ask = copyOf(question, "ask");
  if (ask) ask.id = "ht-path-ask";
  const buttons = element("div", { className: "ht-path-answers" });
  for (const row of rowsOf(question)) {
    const button = element("button", { type: "button" }, ...wordsOf(row, "says"));
    button.addEventListener("click", () => reply(row.dataset.answer ?? ""));
    buttons.append(button);
  }
  const told = present(copyOf(question, "look"), copyOf(question, "note"), copyOf(question, "how"));
  return { told, ask, buttons };
}

/**
 * The end: the action first, its page under the thumb, then why, then the cautions.
 * @param {HTMLElement} section
 * @param {Way} way
 * @param {Moves} moves
 */
export function endScreen(section, way, moves) {
  const row = /** @type {HTMLElement} */ (way.end);
  const kind = row.dataset.end ?? "";
  const group = element("div", { className: "ht-path-end" }, headingOf(say(`page.path.${kind}`)));
  group.dataset.end = kind;
  if (kind === "do") group.append(...present(copyOf(row, "act", "p")));
  group.append(...present(copyOf(row, "reason")));
  if (kind === "stop") group.append(...present(copyOf(section, "stop-text", "p")), ...phone());
  group.append(...pageLink(row), ...present(copyOf(row, "why")), ...cautionsOf(section, row));
  return [group, ...answered(way, moves)];
}

/**
 * What has been answered, shortly, each with a way to answer it again.
 * @param {Way} way
 * @param {Moves} moves
 */
function answered(way, moves) {
  if (!way.taken.length) return [];
  const list = element("ol", {});
  way.taken.forEach((row, index) => {
    const question = /** @type {HTMLElement} */ (row.closest("[data-question]"));
    const ask = element("span", { id: `ht-path-asked-${index}` }, ...wordsOf(question, "ask"));
    const said = element("strong", {}, ...wordsOf(row, "says"));
    const button = element(
      "button",
      { type: "button", id: `ht-path-again-${index}` },
      say("page.path.again"),
    );
    button.setAttribute("aria-labelledby", `ht-path-again-${index} ht-path-asked-${index}`);
    button.addEventListener("click", () => moves.back(index));
    const item = element(
      "li",
      { value: Number(textOf(question, "number")) },
      element("p", {}, ask, " ", said),
      button,
    );
    list.append(item);
  });
  const restart = element("button", { type: "button" }, say("page.path.restart"));
  restart.addEventListener("click", () => moves.back(0));
  const heading = element("h4", {}, say("page.path.answered"));
  return [element("div", { className: "ht-path-answered" }, heading, list, restart)];
}

/** @param {HTMLElement} row */
function pageLink(row) {
  const link = row.querySelector("a[data-part=page]");
  if (!(link instanceof HTMLAnchorElement)) return [];
  const title =
    row.dataset.end === "do"
      ? say("page.path.how", { title: link.textContent ?? "" })
      : (link.textContent ?? "");
  return [element("p", {}, element("a", { href: link.href, className: "ht-path-page" }, title))];
}

/** The office's number, as the foot of every page has it. */
function phone() {
  const office = document.querySelector('.ht-foot a[href^="tel:"]');
  if (!(office instanceof HTMLAnchorElement)) return [];
  const words = say("page.path.call", { phone: office.textContent ?? "" });
  return [element("p", {}, element("a", { href: office.href, className: "ht-path-page" }, words))];
}

/**
 * The full messages of the cautions that a question or an end needs.
 * @param {HTMLElement} section
 * @param {HTMLElement} place
 */
function cautionsOf(section, place) {
  const ids = (place.dataset.cautions ?? "").split(" ").filter(Boolean);
  return ids.flatMap((id) => {
    const message = document.querySelector(`aside[data-hazard="${id}"]`);
    return message ? [withoutIds(message.cloneNode(true))] : [];
  });
}

/**
 * A copy of a part of the table, as the element that it is or as another.
 * @param {HTMLElement} place
 * @param {string} part
 * @param {string} [name]
 */
function copyOf(place, part, name) {
  const found = place.querySelector(`[data-part="${part}"]`);
  if (!(found instanceof HTMLElement)) return undefined;
  const copy = name
    ? element(name, {}, ...withoutIds(found.cloneNode(true)).childNodes)
    : withoutIds(found.cloneNode(true));
  copy.dataset.part = part;
  return copy;
}

/**
 * The words of a part, its figures without their links, which do not belong into a button.
 * @param {HTMLElement} place
 * @param {string} part
 */
function wordsOf(place, part) {
  const copy = copyOf(place, part);
  for (const link of copy?.querySelectorAll("a") ?? []) link.replaceWith(...link.childNodes);
  return [...(copy?.childNodes ?? [])];
}

/**
 * @param {HTMLElement} place
 * @param {string} part
 */
const textOf = (place, part) => place.querySelector(`[data-part="${part}"]`)?.textContent ?? "";

/** @param {string} words */
function headingOf(words) {
  return element("h3", { tabIndex: -1 }, words);
}

/**
 * A copy may not carry the ids of what it was copied from.
 * @param {Node} node
 * @returns {HTMLElement}
 */
function withoutIds(node) {
  const copy = /** @type {HTMLElement} */ (node);
  copy.removeAttribute("id");
  for (const inner of copy.querySelectorAll("[id]")) inner.removeAttribute("id");
  return copy;
}

/** @param {...(HTMLElement | undefined)} parts */
const present = (...parts) => parts.filter((part) => part !== undefined);
