/**
 * Results that are lists: a table whose first view is short, the rest one touch away.
 */
import { say } from "./words.js";

/**
 * @param {HTMLElement} section
 * @param {object} answer
 * @param {(section: HTMLElement, shown: HTMLOutputElement, value: unknown) => void} showResult
 */
export function showTables(section, answer, showResult) {
  for (const table of tables(section)) {
    const rows = answer[table.dataset.list] ?? [];
    table.hidden = rows.length === 0;
    table.querySelector("caption output").dataset.value = JSON.stringify(rows);
    fill(section, table, rows, showResult);
    foldTable(table, true);
  }
}

/** Take every table off the page. */
export function clearTables(section) {
  for (const table of tables(section)) {
    table.hidden = true;
    table.querySelector("tbody").replaceChildren();
    moreButton(table).hidden = true;
  }
}

/** Show all rows of a table, or its short view again: what its button does. */
export function toggleRows(button) {
  const table = button.parentElement.querySelector("table");
  foldTable(table, button.dataset.shows !== "all");
}

/**
 * Which rows stand open in the short view; the same rule stands in build_tools/calculator_results.py.
 * @param {number} count
 * @param {number} most
 * @param {string} part "first", "last" or "spread"
 * @returns {Set<number>}
 */
export function shortPart(count, most, part) {
  const all = Array.from({ length: count }, (_, index) => index);
  if (count <= most) return new Set(all);
  if (part === "spread") {
    const step = Math.ceil((count - 1) / (most - 1));
    return new Set([...all.filter((index) => index % step === 0 && index < count - 1), count - 1]);
  }
  return new Set(part === "first" ? all.slice(0, most) : all.slice(-most));
}

function tables(section) {
  return section.querySelectorAll("[data-answer] table[data-list]");
}

function moreButton(table) {
  return table.parentElement.querySelector("[data-act=more-rows]");
}

function fill(section, table, rows, showResult) {
  const columns = [...table.querySelectorAll("th[data-column]")];
  table.querySelector("tbody").replaceChildren(...rows.map((row, index) => {
    const line = document.createElement("tr");
    line.append(...columns.map((column) => cell(section, column, `${table.dataset.list}[${index}]`, row, showResult)));
    return line;
  }));
}

function cell(section, column, path, row, showResult) {
  const place = document.createElement("td");
  const shown = document.createElement("output");
  shown.setAttribute("aria-live", "off");
  Object.assign(shown.dataset, column.dataset, { field: `${path}.${column.dataset.column}` });
  showResult(section, shown, row[column.dataset.column]);
  place.append(shown);
  return place;
}

function foldTable(table, folded) {
  const lines = [...table.querySelectorAll("tbody tr")];
  const open = shortPart(lines.length, Number(table.dataset.shortRows), table.dataset.shortPart);
  lines.forEach((line, index) => { line.hidden = folded && !open.has(index); });
  const button = moreButton(table);
  button.hidden = open.size === lines.length;
  button.dataset.shows = folded ? "all" : "few";
  button.textContent = say(folded ? "page.rows.all" : "page.rows.few", { count: lines.length, few: open.size });
}
