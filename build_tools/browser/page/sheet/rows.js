/**
 * Rows of a list on a work sheet: added, struck out and put back, never lost.
 */
import { fieldText, nullBox, setFieldText, setNull } from "./entry.js";
import { setStart } from "../stopwatch/how_timed.js";
import { settingText } from "../answer/shown_numbers.js";
import { isSaid, say } from "../shared/words.js";

/** The name of a list: "runs_s". */
export function listName(list) {
  return list.dataset.rows;
}

/** All rows of a list, struck out ones too. */
export function allRows(list) {
  return [...list.querySelectorAll("[data-row]")];
}

/** The rows that count. */
export function liveRows(list) {
  return allRows(list).filter((row) => !isStruck(row));
}

export function isStruck(row) {
  return "struck" in row.dataset;
}

/** The field of a row by its column; a plain list of numbers has one without a name. */
export function rowField(row, column = "") {
  const fields = [...row.querySelectorAll("[data-input]")];
  return column ? fields.find((field) => field.dataset.input.endsWith(`.${column}`)) : fields[0];
}

/**
 * Add a row, blank but for the given texts.
 * @param {HTMLElement} list
 * @param {Record<string, string>} texts by column; "" names the number of a plain list
 * @returns {HTMLElement | null} the row, or null where the list is full
 */
export function addRow(list, texts = {}) {
  return liveRows(list).length < Number(list.dataset.most) ? appendRow(list, texts) : null;
}

/** Add a row whatever the limit: a kept sheet can hold more rows than count, the rest struck out. */
export function appendRow(list, texts = {}) {
  const rows = allRows(list);
  const row = renumbered(rows[0].cloneNode(true), listName(list), rows.length);
  for (const said of ["struck", "answered"]) delete row.dataset[said];
  setStart(row);
  for (const field of row.querySelectorAll("[data-input]")) clean(field);
  for (const [column, text] of Object.entries(texts)) setFieldText(rowField(row, column), text);
  rows[0].parentElement.append(row);
  showStruck(row);
  nameRow(row);
  return row;
}

/** Strike a row out, with the reason where there is one; its numbers stay to be read and can come back. */
export function strikeOut(row, why = "") {
  row.dataset.struck = why;
  showStruck(row);
}

export function putBack(row) {
  delete row.dataset.struck;
  showStruck(row);
}

/** Call a row by its setting, or by its number. */
export function nameRow(row) {
  const title = row.querySelector("[data-row-name]");
  const setting = rowField(row, "half_turns");
  if (title && setting) title.textContent = settingText(Number(fieldText(setting).replace("\u2212", "-")));
  else if (title) title.textContent = rowTitle(row, "row");
}

export function rowName(row) {
  return row.querySelector("[data-row-name], [data-label]")?.textContent ?? "";
}

/** The setting at which the nut stands: that of the last row that counts. */
export function presentSetting(list) {
  const rows = liveRows(list);
  const last = rows.length ? rowField(rows[rows.length - 1], "half_turns") : null;
  return last ? Math.round(Number(fieldText(last).replace("\u2212", "-"))) || 0 : 0;
}

/** A row by its number, in the list's own word where the book has one: "Visit 2". */
function rowTitle(row, kind, list = listName(row.closest("[data-rows]"))) {
  const own = `page.row.${list}`;
  return say(isSaid(own) ? own : `page.row.${kind}`, { number: Number(row.dataset.row) + 1 });
}

function clean(field) {
  setFieldText(field, "");
  setNull(field, false);
  for (const input of field.querySelectorAll("input")) input.removeAttribute("aria-invalid");
  for (const message of field.querySelectorAll("[data-note], [data-error]")) {
    message.textContent = "";
    message.hidden = true;
  }
}

function showStruck(row) {
  const struck = isStruck(row);
  for (const input of row.querySelectorAll("input, [data-act=step]")) input.disabled = struck;
  for (const field of row.querySelectorAll("[data-input]"))
    if (!struck) setNull(field, Boolean(nullBox(field)?.checked));
  const strike = row.querySelector("[data-act=strike]");
  strike.textContent = say(struck ? "page.put-back" : "page.strike-out");
  // Whoever hears the button alone is told which row it is; two rows can stand at the same setting.
  const title = rowTitle(row, row.querySelector("[data-row-name]") ? "row" : "run");
  strike.setAttribute("aria-label", `${strike.textContent}: ${title}`);
  const why = row.querySelector("[data-why]");
  why.textContent = struck ? row.dataset.struck || say("page.struck") : "";
  why.hidden = !struck;
}

/** Give a copied row its own number in every name and id. */
function renumbered(row, name, index) {
  row.dataset.row = String(index);
  for (const element of row.querySelectorAll("*")) {
    for (const attribute of [...element.attributes]) {
      const text = attribute.value
        .replaceAll(`${name}[0]`, `${name}[${index}]`)
        .replaceAll(`-${name}-0`, `-${name}-${index}`);
      if (text !== attribute.value) element.setAttribute(attribute.name, text);
    }
  }
  const label = row.querySelector("[data-row-name]") ? null : row.querySelector("[data-label]");
  if (label) label.textContent = rowTitle(row, "run", name);
  return row;
}
