/**
 * Timings made on the fold-time sheet can be carried to the turn plan, and as one visit to the trend: of one leveler alone.
 */
import { setAnswers, takesOut } from "./answers.js";
import { belongsInHand, fitsHere } from "./belonging.js";
import { fieldText, readNumber, setFieldText, setKeptText } from "./entry.js";
import { fixed } from "../shared/decimal_text.js";
import { kept } from "../shared/kept.js";
import { restoreTimed, setStart, timedState } from "../stopwatch/how_timed.js";
import { addRow, liveRows, presentSetting, rowField } from "./rows.js";
import { say, sayDate, withMark } from "../shared/words.js";

const SHARED = ["window_low_s", "window_high_s"];
/** How a run was started and stopped of which nothing is said, as the calculators take it. */
const TYPED = "by-hand";
const STOPPED = "sharp";

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
  for (const { text, start, answered } of foldTimes()) {
    const blank = liveRows(list).find((row) => textIn(row, "fold_time_s") === "");
    if (blank) setFieldText(rowField(blank, "fold_time_s"), text);
    const row = blank ?? addRow(list, { half_turns: setting, fold_time_s: text });
    if (!row) continue;
    setStart(row, start);
    setAnswers(row, answered);
  }
  const section = list.closest("[data-calculator]");
  restoreTimed(section, { ...timedState(section), ...keptWays() });
}

function offerVisit(list) {
  const visit = foldVisit();
  if (!visit || liveRows(list).some((row) => textIn(row, "date") === visit.texts.date)) return "";
  const { count, texts } = visit;
  const values = { day: sayDate(texts.date), count, mean: withMark(texts.fold_time_s) };
  if (count < visit.all) return say("page.take-visit.alike", values);
  return say(count === 1 ? "page.take-visit.one" : "page.take-visit.many", values);
}

/** The day, the mean of the runs and how they were timed; temperature and half turns too, where the sheets have them. */
function takeVisit(list) {
  const { texts, start } = foldVisit();
  const blank = liveRows(list).find((row) => textIn(row, "date") + textIn(row, "fold_time_s") === "");
  const row = blank ?? addRow(list);
  if (!row) return;
  for (const [column, text] of Object.entries(texts)) setKeptText(rowField(row, column), text);
  setStart(row, start);
}

/**
 * The visit of the fold-time sheet, null where it has none of the leveler in hand, or a question about it stands.
 * Ways are never averaged together.
 */
function foldVisit() {
  const of = kept("sheet:fold-time")?.of;
  const timed = foldTimes().filter(({ answered }) => !takesOut(answered));
  if (!belongsInHand(of) || !of.day || !timed.length || kept("sheet:fold-time").asks) return null;
  const runs = startedAlike(timed);
  const times = runs.map(({ text }) => readNumber(text));
  if (times.some((time) => typeof time !== "number")) return null;
  const temperature = kept("sheet:fold-time").fields?.temperature_c?.text;
  const turned = halfTurnsOn(of);
  const texts = {
    date: of.day,
    fold_time_s: fixed(times.reduce((sum, time) => sum + time, 0) / times.length, 2),
    ...(turned !== "" && { adjusted_half_turns: turned }),
    ...(temperature && { temperature_c: temperature }),
  };
  const { started, stopped } = waysOfAll();
  return { all: timed.length, count: runs.length, texts, start: { started, stopped, ...runs[0].start } };
}

/** Those runs that were started in the way of most; of two ways as common, in the later one. */
function startedAlike(runs) {
  const wayOf = ({ start }) => start?.started ?? waysOfAll().started;
  const alike = runs.map((run) => runs.filter((other) => wayOf(other) === wayOf(run)));
  return alike.reduce((most, each) => (each.length >= most.length ? each : most));
}

/** How runs were started that do not say it, and how all were stopped. */
function waysOfAll() {
  const { typed, stopped } = keptWays();
  return { started: typed ?? TYPED, stopped: stopped ?? STOPPED };
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

/** The timings of the fold-time sheet that are not struck out, each with its start and what was answered about it. */
function foldTimes() {
  return counting(kept("sheet:fold-time")?.lists?.runs_s)
    .map((row) => ({ text: row.texts[""] ?? "", start: row.start, answered: row.answered }))
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
