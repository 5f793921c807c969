/**
 * Tells what is new to this phone: pages to be read before the next job, until a person says that they are read,
 * and on the page of changes what is otherwise now than in the edition that this phone had before.
 */
import { keep, kept } from "../shared/kept.js";
import { pagePath, scope } from "../shared/place.js";
import { say, sayDate } from "../shared/words.js";

/** @typedef {{mark: string, url: string, title: string, date: string}} Mark */
/** @typedef {{url: string | null, title: string, kind: "new" | "changed" | "removed", was: string[], now: string[]}} PageChange */
/** @typedef {{date: string, page: string, marks: Mark[], since: Record<string, PageChange[]>}} Changes */
/** @typedef {{date: string, before: string | null, seen: string[]}} Known what this phone has shown */

const NAME = "changes";

/** Show what is new; a page that cannot learn it shows nothing. */
export async function showChanges() {
  const changes = await readChanges();
  if (!changes) return;
  const known = note(changes);
  fillReadFirst(changes, known);
  fillSince(changes, known);
}

/** @returns {Promise<Changes | null>} */
async function readChanges() {
  try {
    const answer = await fetch(new URL("half-turn/changes.json", scope));
    return answer.ok ? await answer.json() : null;
  } catch {
    return null; // no network and not kept
  }
}

/** Bring what this phone has shown up to date; a phone without any edition before this one has missed nothing. @param {Changes} changes @returns {Known} */
function note({ date, marks }) {
  const all = marks.map(({ mark }) => mark);
  /** @type {Known} */
  const old = kept(NAME) ?? { date, before: null, seen: all };
  const opened = marks.filter(({ url }) => url === pagePath).map(({ mark }) => mark);
  const known = {
    date,
    before: old.date === date ? old.before : old.date,
    seen: all.filter((mark) => old.seen.includes(mark) || opened.includes(mark)),
  };
  if (JSON.stringify(known) !== JSON.stringify(old) || !kept(NAME)) keep(NAME, known);
  return known;
}

/** @param {Changes} changes @param {Known} known */
function fillReadFirst({ marks, page }, known) {
  const unread = marks.filter(({ mark }) => !known.seen.includes(mark));
  for (const place of document.querySelectorAll("[data-status=changes]")) {
    if (!unread.length) {
      place.replaceChildren();
      continue;
    }
    const list = document.createElement("ul");
    list.append(...unread.map(({ url, title }) => item(link(url, title))));
    place.setAttribute("role", "status");
    const sentences = paragraph(link(page, say("book.changes.title")));
    place.replaceChildren(paragraph(say("page.changes.read-first")), list, sentences, readButton(unread));
  }
}

/** @param {Mark[]} unread */
function readButton(unread) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "ht-button";
  button.textContent = say("page.changes.seen");
  button.addEventListener("click", () => {
    const known = kept(NAME);
    keep(NAME, { ...known, seen: [...known.seen, ...unread.map(({ mark }) => mark)] });
    for (const place of document.querySelectorAll("[data-status=changes]")) place.replaceChildren();
  });
  return button;
}

/** @param {Changes} changes @param {Known} known */
function fillSince({ since }, { before }) {
  const place = /** @type {HTMLElement | null} */ (document.querySelector("[data-changes=since]"));
  if (!place || !before) return;
  const recorded = Object.keys(since)
    .filter((date) => date <= before)
    .sort()
    .at(-1);
  if (!recorded) return;
  const changed = since[recorded];
  const date = sayDate(before);
  const heading = document.createElement("h2");
  heading.textContent = say("page.changes.since", { date });
  const rows = changed.length ? changed.map(row) : [paragraph(say("page.changes.none-since", { date }))];
  place.replaceChildren(heading, ...rows);
  place.hidden = false;
}

/** @param {PageChange} change */
function row({ url, title, kind, was, now }) {
  const section = document.createElement("section");
  section.className = "ht-row";
  section.dataset.change = kind;
  const heading = document.createElement("h3");
  heading.append(url ? link(url, title) : title);
  section.append(heading);
  if (kind !== "changed") section.append(paragraph(say(`page.changes.${kind}`)));
  for (const sentence of was) section.append(paragraph(marked("del", sentence)));
  for (const sentence of now) section.append(paragraph(marked("ins", sentence)));
  return section;
}

/** @param {string} url @param {string} title */
function link(url, title) {
  const anchor = document.createElement("a");
  anchor.href = new URL(url, scope).href;
  anchor.textContent = title;
  return anchor;
}

/** @param {Node | string} content */
function paragraph(content) {
  const element = document.createElement("p");
  element.append(content);
  return element;
}

/** @param {Node} content */
function item(content) {
  const element = document.createElement("li");
  element.append(content);
  return element;
}

/** @param {"del" | "ins"} name @param {string} text */
function marked(name, text) {
  const element = document.createElement(name);
  element.textContent = text;
  return element;
}
