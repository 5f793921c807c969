/**
 * What the buttons of a work sheet do.
 */
import { fieldText, setFieldText } from "./entry.js";
import { takeRuns } from "./hand_over.js";
import { keep, kept } from "../shared/kept.js";
import { chosenLeveler, fillFromLeveler } from "./leveler_figures.js";
import { noticeField } from "./notes.js";
import { toggleRows } from "../answer/result_table.js";
import { addRow, isStruck, presentSetting, putBack, rowField, strikeOut } from "./rows.js";
import { restoreSheet, sheetState } from "./sheet_store.js";

/**
 * Do what a button says.
 * @param {import("./calculator.js").WorkSheet} sheet
 * @param {HTMLButtonElement} button
 * @returns {boolean} whether the sheet changed
 */
export function actOnSheet(sheet, button) {
  if (button.dataset.offer) return takeOffer(sheet.section, button);
  const act = ACTS[button.dataset.act];
  if (!act) return false;
  act(sheet, button);
  return true;
}

const ACTS = {
  strike: (sheet, button) => strikeOrPutBack(button.closest("[data-row]")),
  "add-row": (sheet, button) => addAtSetting(button.closest("[data-rows]"), 0),
  turned: (sheet, button) => addAtSetting(button.closest("[data-rows]"), Number(button.dataset.turn)),
  "more-rows": (sheet, button) => toggleRows(button),
  step: (sheet, button) => step(button),
  "new-sheet": newSheet,
  "bring-back": bringBack,
  "take-runs": (sheet) => takeRuns(sheet),
};

function takeOffer(section, button) {
  for (const [name, text] of Object.entries(JSON.parse(button.dataset.fill))) {
    const field = section.querySelector(`[data-input="${name}"]`);
    setFieldText(field, text);
    field.dataset.from = `figure:${button.dataset.offer}`;
  }
  return true;
}

function strikeOrPutBack(row) {
  if (isStruck(row)) putBack(row);
  else strikeOut(row);
}

/** Add a row at the present setting, or one half turn from it: what the nut was really given is what is written. */
function addAtSetting(list, turn) {
  const hasSetting =
    list.querySelector("[data-row-name]") && rowField(list.querySelector("[data-row]"), "half_turns");
  const row = addRow(list, hasSetting ? { half_turns: String(presentSetting(list) + turn) } : {});
  const blank = [...(row?.querySelectorAll("input[type=text], input[type=date]") ?? [])].find(
    ({ value }) => value === "",
  );
  if (turn === 0) blank?.focus();
  row?.scrollIntoView({ block: "nearest" });
}

function step(button) {
  const field = button.closest("[data-input]");
  const now = Math.round(Number(fieldText(field).replace("\u2212", "-"))) || 0;
  setFieldText(field, String(now + Number(button.dataset.by)));
  noticeField(field);
}

/** The sheet before stays on the phone, so that starting a new one can be undone, and undone again. */
function newSheet(sheet) {
  keep(`sheet-before:${sheet.name}`, sheetState(sheet.section));
  put(sheet, null);
}

function bringBack(sheet) {
  const before = kept(`sheet-before:${sheet.name}`);
  keep(`sheet-before:${sheet.name}`, sheetState(sheet.section));
  put(sheet, before);
}

function put(sheet, state) {
  restoreSheet(sheet.section, state);
  fillFromLeveler(sheet.section, chosenLeveler());
  offerBringBack(sheet);
}

/** Show the way back to the sheet before, where there is one. */
export function offerBringBack(sheet) {
  sheet.section.querySelector("[data-act=bring-back]").hidden = !kept(`sheet-before:${sheet.name}`);
}
