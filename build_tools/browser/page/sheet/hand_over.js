/**
 * Timings made on the fold-time sheet can be carried to the turn plan, and as one visit to the trend: of one leveler alone.
 */
import { belongsInHand, fitsHere } from "./belonging.js";
import { fieldText, readNumber, setFieldText } from "./entry.js";
import { fixed } from "../shared/decimal_text.js";
import { kept } from "../shared/kept.js";
import { restoreTimed, setStart, timedState } from "../stopwatch/how_timed.js";
import { addRow, liveRows, presentSetting, rowField } from "./rows.js";
import { say, sayDate, withMark } from "../shared/words.js";

const SHARED = ["window_low_s", "window_high_s"];

/** Offer what the fold-time sheet has and this sheet has not. @param {import("./calculator.js").WorkSheet} sheet */
export function offerRuns(sheet) {
  const button = sheet.section.querySelector("[data-act=take-runs]");
  if (!button) return;
  const list = button.closest("[data-rows]");
  button.textContent = TAKES[sheet.name]?.offer(list) ?? "";
  button.hidden = button.textContent === "";
}

/** Take what was offered, with the window that the timings were judged by. */
export function takeRuns({ section, name }) {
  TAKES[name].take(section.querySelector("[data-act=take-runs]").closest("[data-rows]"));
  const fields = kept("sheet:fold-time")?.fields ?? {};
  for (const path of SHARED) takeField(section, path, fields[path]);
}

/** What each sheet offers to take, "" where there is nothing, and how it takes it. */
const TAKES = {
  "turn-plan": { offer: offerReadings, take: takeReadings },
  "fold-trend": { offer: offerVisit, take: takeVisit },
};

function offerReadings(list) {
  const count = fitsHere(kept("sheet:fold-time")?.of) ? foldTimes().length : 0;
  if (count === 0 || liveRows(list).some((row) => textIn(row, "fold_time_s") !== "")) return "";
  return say(count === 1 ? "page.take-runs.one" : "page.take-runs.many", { count });
}

function takeReadings(list) {
  const setting = String(presentSetting(list));
  for (const { text, start } of foldTimes()) {
    const blank = liveRows(list).find((row) => textIn(row, "fold_time_s") === "");
    if (blank) setFieldText(rowField(blank, "fold_time_s"), text);
    const row = blank ?? addRow(list, { half_turns: setting, fold_time_s: text });
    if (row) setStart(row, start);
  }
  const section = list.closest("[data-calculator]");
  restoreTimed(section, { ...timedState(section), ...keptWays() });
}

function offerVisit(list) {
  const visit = foldVisit();
  if (!visit || liveRows(list).some((row) => textIn(row, "date") === visit.date)) return "";
  const values = { day: sayDate(visit.date), count: visit.count, mean: withMark(visit.fold_time_s) };
  return say(visit.count === 1 ? "page.take-visit.one" : "page.take-visit.many", values);
}

/** The day and the mean of the runs; the half turns too, where the turn plan of that day has them. */
function takeVisit(list) {
  const { count, ...texts } = foldVisit();
  const blank = liveRows(list).find((row) => textIn(row, "date") + textIn(row, "fold_time_s") === "");
  if (!blank) addRow(list, texts);
  else for (const [column, text] of Object.entries(texts)) setFieldText(rowField(blank, column), text);
}

function foldVisit() {
  const of = kept("sheet:fold-time")?.of;
  const runs = foldTimes().map(({ text }) => readNumber(text));
  if (!belongsInHand(of) || !of.day || !runs.length || runs.some((run) => typeof run !== "number"))
    return null;
  const mean = runs.reduce((sum, run) => sum + run, 0) / runs.length;
  const turned = halfTurnsOn(of);
  return {
    count: runs.length,
    date: of.day,
    fold_time_s: fixed(mean, 2),
    ...(turned !== "" && { adjusted_half_turns: turned }),
  };
}

function halfTurnsOn({ leveler, day }) {
  const plan = kept("sheet:turn-plan");
  if (plan?.of?.leveler !== leveler || plan.of.day !== day) return "";
  return counting(plan.lists?.readings).at(-1)?.texts.half_turns ?? "";
}

function takeField(section, path, state) {
  const field = section.querySelector(`[data-input="${path}"]`);
  if (!state || fieldText(field) !== "") return;
  setFieldText(field, state.text);
  if (state.from) field.dataset.from = state.from;
}

/** The timings of the fold-time sheet that are not struck out, each with its start. */
function foldTimes() {
  return counting(kept("sheet:fold-time")?.lists?.runs_s)
    .map((row) => ({ text: row.texts[""] ?? "", start: row.start }))
    .filter(({ text }) => text.trim() !== "");
}

function counting(rows = []) {
  return rows.filter((row) => !("struck" in row));
}

/** How the fold-time sheet says that written runs were started, and all were stopped. */
function keptWays() {
  const { typed, stopped } = kept("sheet:fold-time")?.timed ?? {};
  return { ...(typed && { typed }), ...(stopped && { stopped }) };
}

function textIn(row, column) {
  return fieldText(rowField(row, column));
}
