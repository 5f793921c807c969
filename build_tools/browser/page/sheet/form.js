/**
 * Read a work sheet as the inputs that its calculator takes.
 */
import { answersOn } from "./answers.js";
import { fieldLabel, fieldText, fieldValue } from "./entry.js";
import { completed, wireStart } from "../stopwatch/how_timed.js";
import { listName, liveRows, rowName } from "./rows.js";

/**
 * @typedef {object} Sheet
 * @property {object} inputs what is written so far, named as in the schema
 * @property {{path: string, label: string}[]} missing what the calculator needs and the sheet does not say yet
 * @property {object[]} answers what was answered to the calculator's questions
 * @property {Map<string, string>} places from a place in `inputs` to the field on the page ("runs_s[1]" -> "runs_s[2]")
 */

/**
 * @param {HTMLElement} section
 * @returns {Sheet}
 */
export function readSheet(section) {
  const sheet = { inputs: {}, missing: [], places: new Map(), answers: [] };
  for (const part of section.querySelectorAll("[data-input], [data-rows]")) {
    if (part.matches("[data-rows]")) readList(part, sheet);
    else if (!part.closest("[data-rows]")) readField(part, part.dataset.input, sheet.inputs, sheet, "");
  }
  const given = JSON.parse(section.dataset.given || "{}");
  sheet.inputs = { ...completed(section, given), ...sheet.inputs };
  const answers = [...answersOf(section, ""), ...sheet.answers];
  if (answers.length) sheet.inputs.answers = answers;
  return sheet;
}

/** What was answered about a run, or about the whole sheet: kept with the row, so that it never moves to another. */
function answersOf(element, field) {
  return Object.entries(answersOn(element)).map(([question, answer]) => ({ question, field, answer }));
}

/** Read one field into `target`; `place` is where it stands on the wire. */
function readField(field, place, target, sheet, row) {
  const value = fieldValue(field);
  const key = place.slice(place.lastIndexOf(".") + 1);
  sheet.places.set(place, field.dataset.input);
  if (value !== undefined) target[key] = value;
  else if (!("optional" in field.dataset)) sheet.missing.push({ path: place, label: labelOf(field, row) });
}

function labelOf(field, row) {
  return row ? `${fieldLabel(field)} (${row})` : fieldLabel(field);
}

function readList(list, sheet) {
  const name = listName(list);
  const isPlain = !list.querySelector("[data-row-name]");
  const read = isPlain ? readNumbers(list, name, sheet) : readRows(list, name, sheet);
  if (read.length || !("optional" in list.dataset)) sheet.inputs[name] = read;
}

/** Blank numbers of a plain list wait for more; only too few of them are missing. */
function readNumbers(list, name, sheet) {
  const fields = liveRows(list).map((row) => row.querySelector("[data-input]"));
  const filled = fields.filter((field) => fieldText(field).trim() !== "");
  filled.forEach((field, index) => sheet.places.set(`${name}[${index}]`, field.dataset.input));
  const blank = fields.filter((field) => !filled.includes(field));
  for (const field of blank.slice(0, Math.max(0, Number(list.dataset.least) - filled.length))) {
    sheet.missing.push({ path: field.dataset.input, label: fieldLabel(field) });
  }
  return filled.map((field, index) => {
    const row = field.closest("[data-row]");
    sheet.answers.push(...answersOf(row, `${name}[${index}]`));
    const started = wireStart(list.closest("section"), row);
    return started ? { fold_time_s: fieldValue(field), started } : fieldValue(field);
  });
}

/**
 * A row of several columns counts only whole: a turn whose result is not written yet must stop every advice.
 * Only where a list may be left out does an untouched row say nothing.
 */
function readRows(list, name, sheet) {
  const rows = "optional" in list.dataset ? liveRows(list).filter(isTouched) : liveRows(list);
  return rows.map((row, index) => {
    const values = {};
    for (const field of row.querySelectorAll("[data-input]")) {
      const column = field.dataset.input.slice(field.dataset.input.indexOf("].") + 2);
      readField(field, `${name}[${index}].${column}`, values, sheet, rowName(row));
    }
    sheet.answers.push(...answersOf(row, `${name}[${index}].fold_time_s`));
    const started = wireStart(list.closest("section"), row);
    if (started && "fold_time_s" in values) values.started = started;
    if (row.dataset.stopped) values.stopped = row.dataset.stopped;
    return values;
  });
}

function isTouched(row) {
  return [...row.querySelectorAll("[data-input]")].some((field) => fieldValue(field) !== undefined);
}
