/**
 * A work sheet as plain data: kept through reload, rotation and a new edition of the book.
 */
import { answersOn, setAnswers } from "./answers.js";
import { isAtStart, keptText, nullBox, setFieldText, setKeptText, setNull, startText } from "./entry.js";
import { restoreTimed, setStart, startOf, timedState } from "../stopwatch/how_timed.js";
import { allRows, appendRow, isStruck, listName, nameRow, putBack, rowField, strikeOut } from "./rows.js";

/**
 * @typedef {object} KeptSheet
 * @property {Record<string, {text: string, from?: string, isNull?: boolean}>} fields only those that differ from the book
 * @property {Record<string, {texts: Record<string, string>, nulls?: string[], struck?: string, start?: object, answered?: object}[]>} lists
 * @property {Record<string, string>} [answered] to questions about the whole sheet; those about a row stand with it
 * @property {boolean} [asks] whether a question stood when the sheet was kept
 * @property {object} timed how the runs were timed, see how_timed.js
 */

/** @returns {KeptSheet} */
export function sheetState(section) {
  const state = { fields: fieldStates(section), lists: listStates(section), timed: timedState(section) };
  const answered = answersOn(section);
  const asks = section.hasAttribute("data-asks");
  return { ...state, ...(hasAny(answered) && { answered }), ...(asks && { asks }) };
}

/** Put a kept sheet back on the page; what the book no longer asks for is left aside. */
export function restoreSheet(section, state) {
  for (const field of singleFields(section)) restoreField(field, state?.fields?.[field.dataset.input]);
  for (const list of section.querySelectorAll("[data-rows]"))
    restoreList(list, state?.lists?.[listName(list)] ?? []);
  restoreTimed(section, state?.timed);
  setAnswers(section, state?.answered);
}

/** The fields that stand outside every list. */
export function singleFields(section) {
  return [...section.querySelectorAll("[data-input]")].filter((field) => !field.closest("[data-rows]"));
}

function fieldStates(section) {
  const fields = {};
  for (const field of singleFields(section)) {
    const isNull = Boolean(nullBox(field)?.checked);
    // A field that still holds the book's figure is not kept, so that it follows the book when the figure changes.
    if (isAtStart(field) && !isNull) continue;
    fields[field.dataset.input] = { text: keptText(field), isNull, from: field.dataset.from };
  }
  return fields;
}

function restoreField(field, state) {
  if (state) setKeptText(field, state.text);
  else setFieldText(field, startText(field));
  setNull(field, Boolean(state?.isNull));
  if (state?.from) field.dataset.from = state.from;
  else delete field.dataset.from;
}

function listStates(section) {
  const lists = {};
  for (const list of section.querySelectorAll("[data-rows]")) {
    lists[listName(list)] = allRows(list).map((row) => {
      const fields = [...row.querySelectorAll("[data-input]")];
      const texts = Object.fromEntries(fields.map((field) => [column(field), keptText(field)]));
      const nulls = fields.filter((field) => nullBox(field)?.checked).map(column);
      const start = startOf(row);
      const answered = answersOn(row);
      return {
        texts,
        ...(nulls.length && { nulls }),
        ...(start.started && { start }),
        ...(hasAny(answered) && { answered }),
        ...(isStruck(row) && { struck: row.dataset.struck }),
      };
    });
  }
  return lists;
}

function hasAny(answers) {
  return Object.keys(answers).length > 0;
}

function column(field) {
  const path = field.dataset.input;
  return path.includes("].") ? path.slice(path.indexOf("].") + 2) : "";
}

function restoreList(list, states) {
  const wanted = Math.max(states.length, Number(list.dataset.atFirst));
  allRows(list)
    .slice(wanted)
    .forEach((row) => row.remove());
  while (allRows(list).length < wanted) appendRow(list);
  allRows(list).forEach((row, index) => restoreRow(row, states[index]));
}

function restoreRow(row, state) {
  for (const field of row.querySelectorAll("[data-input]")) setFieldText(field, startText(field));
  for (const [name, text] of Object.entries(state?.texts ?? {})) {
    const field = rowField(row, name);
    if (field) setKeptText(field, text);
  }
  for (const field of row.querySelectorAll("[data-input]"))
    setNull(field, Boolean(state?.nulls?.includes(column(field))));
  nameRow(row);
  setStart(row, state?.start);
  setAnswers(row, state?.answered);
  if (state && "struck" in state) strikeOut(row, state.struck);
  else putBack(row);
}
