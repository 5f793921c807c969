/**
 * The book's own pages as a visit needs them: a step, a hazard, a drawing, a list, each a copy found by its id.
 */
import { scope } from "../../shared/place.js";

const REGISTERS = "figures.html";
/** @type {Map<string, Promise<Document>>} */
const read = new Map();

/** A page of the book, read once. @param {string} address from the book's root @returns {Promise<Document>} */
export function bookPage(address) {
  if (!read.has(address)) {
    const page = fetchPage(address);
    page.catch(() => read.delete(address));
    read.set(address, page);
  }
  return /** @type {Promise<Document>} */ (read.get(address));
}

async function fetchPage(address) {
  const answer = await fetch(new URL(address, scope));
  if (!answer.ok) throw new Error(`${answer.status} for ${address}`);
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

/**
 * A step: its number on the page, and its own paragraphs.
 * @param {Document} page
 * @param {string} id
 * @param {string[]} [ways] those of the leveler: sentences for another way of the same thing are left out
 * @returns {{number: string, parts: HTMLElement[]} | null} null where the page has no such step
 */
export function stepOf(page, id, ways = []) {
  const row = stepRow(page, id);
  if (!row) return null;
  const parts = [...row.children].filter((part) => !part.matches("label")).map(plainCopy);
  leaveOutOtherWays(parts, page, ways);
  return { number: row.dataset.number ?? "", parts };
}

/** The full message of a hazard: the page's own, else that of the register. @param {Document} page @param {string} id */
export async function hazardOf(page, id) {
  const at = `aside[data-hazard="${CSS.escape(id)}"]`;
  const found = page.querySelector(at) ?? (await bookPage(REGISTERS)).querySelector(at);
  if (!found) return null;
  const copy = plainCopy(found);
  for (const sentence of copy.querySelectorAll("p + p")) sentence.before(" "); // they run on in one line
  return copy;
}

/** The drawings that stand before a step and after the step before it. @param {Document} page @param {string} id */
export function drawingsOf(page, id) {
  const row = stepRow(page, id);
  if (!row || row.previousElementSibling) return []; // only its list's first step stands below them
  const found = [];
  let place = row.closest(".ht-steps") ?? row.parentElement;
  while ((place = place.previousElementSibling) && !place.matches(".ht-steps, h1, h2"))
    found.unshift(...place.querySelectorAll("figure.ht-drawing"));
  return found.map(copyWithIds);
}

/** The items of the list under a heading: what a page wants first, what ends its work. @param {Document} page @param {string} title */
export function listedUnder(page, title) {
  const heading = [...page.querySelectorAll("h2")].find(({ textContent }) => textContent.trim() === title);
  let place = heading?.nextElementSibling;
  while (place && !place.matches("ul, h2")) place = place.nextElementSibling;
  return place?.matches("ul") ? [...place.children].map(plainCopy) : [];
}

/** The stopwatch of the page's own work sheet, null where it has none. @param {Document} page @param {string[]} ways */
export function stopwatchOf(page, ways) {
  const dialog = page.querySelector("dialog[data-stopwatch]");
  if (!dialog) return null;
  const copy = /** @type {HTMLDialogElement} */ (plainCopy(dialog));
  leaveOutOtherWays([copy], page, ways);
  return copy;
}

/** What is written for another way than the leveler's own would be in the way; where its way is not known, all stays. */
function leaveOutOtherWays(parts, page, ways) {
  const known = new Set();
  for (const { dataset } of page.querySelectorAll("[data-way]"))
    if (ways.includes(dataset.way)) known.add(dataset.wayOf);
  for (const part of parts) {
    for (const said of part.querySelectorAll("[data-way]"))
      if (known.has(said.dataset.wayOf) && !ways.includes(said.dataset.way)) said.remove();
  }
}

function stepRow(page, id) {
  return /** @type {HTMLElement | null} */ (page.querySelector(`li[data-step="${CSS.escape(id)}"]`));
}

/** A copy without ids, for those stand elsewhere, and without links: a touch that slips may not lead away. */
function plainCopy(part) {
  const copy = /** @type {HTMLElement} */ (document.importNode(part, true));
  for (const inner of [copy, ...copy.querySelectorAll("[id]")]) inner.removeAttribute("id");
  for (const link of copy.querySelectorAll("a")) link.replaceWith(...link.childNodes);
  return copy;
}

/**
 * A drawing keeps its ids: its title and its patterns are found by them. Its names lead nowhere here, and what its
 * caption says is in the drawing's own description.
 */
function copyWithIds(part) {
  const copy = /** @type {HTMLElement} */ (document.importNode(part, true));
  copy.querySelector("figcaption")?.remove();
  for (const touched of copy.querySelectorAll("a.ht-draw-label > rect")) touched.remove();
  for (const link of copy.querySelectorAll("a")) link.replaceWith(...link.childNodes);
  return copy;
}
