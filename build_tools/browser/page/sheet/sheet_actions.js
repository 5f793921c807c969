/**
 * What the buttons of a work sheet do.
 */
import { belongingOf, confirmSheet, doubt, putAway, takeOwn } from "./belonging.js";
import { countsDown, fieldText, setFieldText } from "./entry.js";
import { takeRuns } from "./hand_over.js";
import { keep, kept } from "../shared/kept.js";
import { chosenLeveler, fillFromLeveler } from "./leveler_figures.js";
import { noticeField } from "./notes.js";
import { toggleRows } from "../answer/result_table.js";
import { addRow, isStruck, liveRows, presentSetting, putBack, rowField, strikeOut } from "./rows.js";
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
  "offer-row": (sheet, button) => takeRow(button.closest("[data-rows]"), JSON.parse(button.dataset.fill)),
  step: (sheet, button) => step(button),
  "new-sheet": newSheet,
  "bring-back": bringBack,
  "keep-sheet": keepSheet,
  "own-sheet": ownSheet,
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

/** Write an offered row down once, where a row is blank or in a new one, and go to what it still asks. */
function takeRow(list, texts) {
  const holds = (row, wanted) =>
    Object.entries(wanted).every(([name, text]) => fieldText(rowField(row, name)) === text);
  const nothing = Object.fromEntries(Object.keys(texts).map((name) => [name, ""]));
  const there = liveRows(list).find((row) => holds(row, texts));
  const blank = there ?? liveRows(list).find((row) => holds(row, nothing));
  if (blank) for (const [name, text] of Object.entries(texts)) setFieldText(rowField(blank, name), text);
  focusOnFirst(blank ?? addRow(list, texts));
}

/** Add a row at the present setting, or one half turn from it: what the nut was really given is what is written. */
function addAtSetting(list, turn) {
  const hasSetting =
    list.querySelector("[data-row-name]") && rowField(list.querySelector("[data-row]"), "half_turns");
  const row = addRow(list, hasSetting ? { half_turns: String(presentSetting(list) + turn) } : {});
  if (turn === 0) focusOnFirst(row);
  row?.scrollIntoView({ block: "nearest" });
}

/** Go to the first thing that a row asks and that nobody has to leave blank. */
function focusOnFirst(row) {
  const asked = [...(row?.querySelectorAll("[data-input]:not([data-optional])") ?? [])];
  asked
    .find((field) => fieldText(field) === "")
    ?.querySelector("input")
    ?.focus();
}

function step(button) {
  const field = button.closest("[data-input]");
  const now = Math.round(Number(fieldText(field).replace("\u2212", "-"))) || 0;
  setFieldText(field, String(within(field, now + Number(button.dataset.by))));
  noticeField(field);
}

/** A count stops at the ends of its range; one that goes down on the wire has its range turned round. */
function within(field, number) {
  const ends = [Number(field.dataset.low), Number(field.dataset.high)];
  const [low, high] = countsDown(field) ? [-ends[1], -ends[0]] : ends;
  return Math.min(Math.max(number, low), high);
}

/** The sheet before stays on the phone, so that starting a new one can be undone, and undone again. */
function newSheet(sheet) {
  leave(sheet);
  put(sheet, null);
}

function bringBack(sheet) {
  const before = kept(`sheet-before:${sheet.name}`);
  leave(sheet);
  put(sheet, before);
}

function keepSheet(sheet) {
  confirmSheet(sheet);
  fillFromLeveler(sheet.section, chosenLeveler());
}

function ownSheet(sheet) {
  const own = takeOwn(sheet.name);
  leave(sheet);
  put(sheet, own);
}

function leave(sheet) {
  putAway(sheet);
  keep(`sheet-before:${sheet.name}`, { ...sheetState(sheet.section), of: sheet.of });
}

function put(sheet, state) {
  restoreSheet(sheet.section, state);
  sheet.of = belongingOf(sheet.section, state);
  if (!doubt(sheet)) fillFromLeveler(sheet.section, chosenLeveler());
  offerBringBack(sheet);
}

/** Show the way back to the sheet before, where there is one. */
export function offerBringBack(sheet) {
  sheet.section.querySelector("[data-act=bring-back]").hidden = !kept(`sheet-before:${sheet.name}`);
}
