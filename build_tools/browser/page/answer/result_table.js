/**
 * Results that are lists: a table whose first view is short, the rest one touch away.
 */
import { showResult } from "./result_line.js";
import { say } from "../shared/words.js";

/**
 * @param {HTMLElement} root
 * @param {string} calculator
 * @param {object} answer
 */
export function showTables(root, calculator, answer) {
  for (const table of tables(root)) {
    const rows = answer[table.dataset.list] ?? [];
    table.hidden = rows.length === 0;
    table.querySelector("caption output").dataset.value = JSON.stringify(rows);
    fill(table, rows, calculator);
    foldTable(table, true);
  }
}

/** Take every table off the page. */
export function clearTables(root) {
  for (const table of tables(root)) {
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
 * Which rows stand open in the short view; the same rule stands in build_tools/shown/shown_values.py.
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

function tables(root) {
  return root.querySelectorAll("table[data-list]");
}

function moreButton(table) {
  return table.parentElement.querySelector("[data-act=more-rows]");
}

function fill(table, rows, calculator) {
  const columns = [...table.querySelectorAll("th[data-column]")];
  const mark = "field" in table.querySelector("caption output").dataset ? "field" : "whatIf";
  table.querySelector("tbody").replaceChildren(
    ...rows.map((row, index) => {
      const line = document.createElement("tr");
      const at = `${table.dataset.list}[${index}]`;
      line.append(
        ...columns.map((column) =>
          cell(column, { [mark]: `${at}.${column.dataset.column}` }, row, calculator),
        ),
      );
      return line;
    }),
  );
}

function cell(column, place, row, calculator) {
  const shown = document.createElement("output");
  shown.setAttribute("aria-live", "off");
  Object.assign(shown.dataset, column.dataset, place);
  delete shown.dataset.column;
  showResult(shown, calculator, row[column.dataset.column]);
  const data = document.createElement("td");
  data.append(shown);
  return data;
}

function foldTable(table, folded) {
  const lines = [...table.querySelectorAll("tbody tr")];
  const open = shortPart(lines.length, Number(table.dataset.shortRows), table.dataset.shortPart);
  lines.forEach((line, index) => {
    line.hidden = folded && !open.has(index);
  });
  const button = moreButton(table);
  button.hidden = open.size === lines.length;
  button.dataset.shows = folded ? "all" : "few";
  button.textContent = say(folded ? "page.rows.all" : "page.rows.few", {
    count: lines.length,
    few: open.size,
  });
}
