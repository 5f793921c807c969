/**
 * Timings made on the fold-time sheet can be carried to the turn plan, as readings at the setting where the nut stands.
 */
import { fieldText, setFieldText } from "./entry.js";
import { kept } from "../shared/kept.js";
import { addRow, liveRows, presentSetting, rowField } from "./rows.js";
import { say } from "../shared/words.js";

const SHARED = ["window_low_s", "window_high_s"];

/** Offer the timings where the turn plan has none yet. */
export function offerRuns({ section, name }) {
  const button = section.querySelector("[data-act=take-runs]");
  if (!button) return;
  const runs = name === "turn-plan" ? foldTimes() : [];
  const list = button.closest("[data-rows]");
  button.hidden = runs.length === 0 || liveRows(list).some((row) => timeIn(row) !== "");
  button.textContent = say(runs.length === 1 ? "page.take-runs.one" : "page.take-runs.many", {
    count: runs.length,
  });
}

/** Write the timings down as readings at the present setting, with the window that they were judged by. */
export function takeRuns({ section }) {
  const list = section.querySelector("[data-act=take-runs]").closest("[data-rows]");
  const setting = String(presentSetting(list));
  for (const text of foldTimes()) {
    const blank = liveRows(list).find((row) => timeIn(row) === "");
    if (blank) setFieldText(rowField(blank, "fold_time_s"), text);
    else addRow(list, { half_turns: setting, fold_time_s: text });
  }
  const fields = kept("sheet:fold-time")?.fields ?? {};
  for (const path of SHARED) takeField(section, path, fields[path]);
}

function takeField(section, path, state) {
  const field = section.querySelector(`[data-input="${path}"]`);
  if (!state || fieldText(field) !== "") return;
  setFieldText(field, state.text);
  if (state.from) field.dataset.from = state.from;
}

/** The timings of the fold-time sheet that are not struck out. */
function foldTimes() {
  const rows = kept("sheet:fold-time")?.lists?.runs_s ?? [];
  return rows
    .filter((row) => !("struck" in row))
    .map((row) => row.texts[""] ?? "")
    .filter((text) => text.trim() !== "");
}

function timeIn(row) {
  return fieldText(rowField(row, "fold_time_s"));
}
