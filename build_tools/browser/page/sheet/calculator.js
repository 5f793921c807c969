/**
 * The calculators on a page: each work sheet answers when a field is left or typing pauses, and keeps what is written.
 */
import { showAllCautions, showAnswer, showFault, showMissing, showWaiting } from "../answer/answer.js";
import { setAnswers } from "./answers.js";
import { belongingOf, doubt, noteBelonging, showBelonging } from "./belonging.js";
import { clearErrors, showErrors } from "./errors.js";
import { showExplanation } from "../answer/explanation.js";
import { readSheet } from "./form.js";
import { offerRuns } from "./hand_over.js";
import { openHowTimed } from "../stopwatch/how_timed.js";
import { keep, kept } from "../shared/kept.js";
import { offerLevelers } from "./leveler.js";
import { fillFromLeveler } from "./leveler_figures.js";
import { clearStepsForTurn } from "./next_turn.js";
import { nextTask } from "../shared/next_task.js";
import { noticeField, showNotes } from "./notes.js";
import { askText, onRuntimeState, startRuntime } from "../runtime/runtime.js";
import { showRuntimeStatus } from "../runtime/runtime_status.js";
import { actOnSheet, offerBringBack } from "./sheet_actions.js";
import { restoreSheet, sheetState } from "./sheet_store.js";
import { openOwnTiming } from "../stopwatch/own_timing.js";
import { runsOfSheet } from "../stopwatch/recorded_runs.js";
import { openStopwatch } from "../stopwatch/stopwatch.js";
import { onSaveBeforeSwap } from "../shared/tabs.js";
import { openUnits } from "../units/units_control.js";
import { openWhatIf } from "../what_if/what_if.js";
import { say } from "../shared/words.js";

const PAUSE_MS = 1000;

/**
 * One work sheet on the page.
 * @typedef {object} WorkSheet
 * @property {HTMLElement} section
 * @property {string} name the calculator's name
 * @property {() => void} changed tell the sheet that something on it changed and that it should answer
 * @property {() => void} save
 * @property {import("./belonging.js").Belonging | null} of the leveler and the visit it belongs to, null while it is blank
 */

/** Take over every calculator of the page, each part of the work in a task of its own. */
async function openCalculators() {
  const sheets = [];
  for (const section of document.querySelectorAll("section[data-calculator]"))
    sheets.push(await openSheet(section));
  await nextTask();
  offerLevelers((leveler) =>
    sheets.forEach((sheet) => {
      if (!doubt(sheet)) fillFromLeveler(sheet.section, leveler);
      sheet.changed();
    }),
  ).catch(() => {}); // without the list of levelers every field can still be written by hand
  showRuntimeStatus();
  startWhenIdle();
  onSaveBeforeSwap(() => sheets.forEach((sheet) => sheet.save()));
  document.addEventListener("visibilitychange", () => {
    for (const sheet of sheets) if (doubt(sheet)) sheet.changed(); // a phone left open over night
  });
  onRuntimeState((state) => {
    if (document.documentElement.dataset.unsaved) return; // whoever is typing is answered when they pause
    if (state === "ready" || state === "failed") sheets.forEach((sheet) => sheet.changed());
  });
}

/** @returns {Promise<WorkSheet>} */
async function openSheet(section) {
  const name = section.dataset.calculator;
  const save = () => {
    noteBelonging(sheet);
    keep(`sheet:${name}`, { ...sheetState(section), of: sheet.of });
  };
  const changed = () => {
    save();
    if (showBelonging(sheet)) return showWaiting(section, "waiting", say("page.belonging.first"));
    showNotes(section);
    offerRuns(sheet);
    answer();
  };
  const sheet = { section, name, save, changed, of: null };
  const answer = answering(sheet);
  const before = kept(`sheet:${name}`);
  restoreSheet(section, before);
  sheet.of = belongingOf(section, before);
  await nextTask();
  for (const line of section.querySelectorAll("[data-needs=serving]")) line.hidden = true;
  offerBringBack(sheet);
  listen(sheet);
  openHowTimed(sheet);
  openSheetsStopwatch(sheet);
  openUnits(sheet);
  openWhatIf(sheet);
  await nextTask();
  section.querySelector("[data-sheet]").disabled = false; // only now does it hear what is written
  changed();
  return sheet;
}

/** Only a sheet that times anything has a stopwatch. */
function openSheetsStopwatch(sheet) {
  const dialog = sheet.section.querySelector("dialog[data-stopwatch]");
  if (!dialog) return;
  openStopwatch(dialog, sheet.section.querySelector("[data-act=open-stopwatch]"), runsOfSheet(sheet));
  openOwnTiming(sheet);
}

/** Typing marks the sheet as changed at once; it answers when the field is left or typing pauses. */
function listen(sheet) {
  const { section, changed, save } = sheet;
  let pause = 0;
  const settle = () => {
    clearTimeout(pause);
    delete document.documentElement.dataset.unsaved;
    changed();
  };
  section.addEventListener("answered", settle);
  section.addEventListener("input", (event) => {
    const field = event.target.closest("[data-input]");
    if (!field) return;
    document.documentElement.dataset.unsaved = "yes";
    const row = field.closest("[data-row]");
    if (row) setAnswers(row); // what was answered about it was said of what stood there before
    noticeField(field);
    save();
    showWaiting(section, "typing", "");
    clearTimeout(pause);
    pause = setTimeout(settle, PAUSE_MS);
  });
  section.addEventListener("change", (event) => {
    if (event.target.closest("[data-input]")) settle();
  });
  section.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-act], button[data-offer]");
    if (button && actOnSheet(sheet, button)) settle();
  });
  section.querySelector("form").addEventListener("submit", (event) => {
    event.preventDefault();
    settle();
  });
}

/** Give the function that asks the calculator whenever the sheet says something new. */
function answering(workSheet) {
  const { section } = workSheet;
  let last = "";
  const isWanted = (asked) => last === asked && !doubt(workSheet);
  return async () => {
    const sheet = readSheet(section);
    const asked = JSON.stringify(sheet.inputs);
    if (asked === last && isAnswered(section)) return;
    last = asked;
    if (!canAsk(section, sheet)) return;
    try {
      const answered = { name: section.dataset.calculator, text: asked };
      answered.answer = await askText(answered.name, asked);
      if (!isWanted(asked)) return;
      show(section, sheet, JSON.parse(answered.answer));
      workSheet.save(); // whether a question stands is kept with the sheet
      if (!isAnswered(section)) return;
      clearStepsForTurn(workSheet, JSON.parse(answered.answer));
      showExplanation(section, answered, () => isWanted(asked) && isAnswered(section));
    } catch (fault) {
      if (isWanted(asked)) showNoAnswer(section, fault);
    }
  };
}

function isAnswered(section) {
  return section.querySelector("[data-answer]").dataset.state === "answered";
}

/** Say what stands in the way of an answer; Python is never started by a sheet that only waits. */
function canAsk(section, sheet) {
  const state = document.documentElement.dataset.runtime;
  if (sheet.missing.length)
    showMissing(
      section,
      sheet.missing.map(({ label }) => label),
    );
  else showWaiting(section, "waiting", state === "ready" ? "" : say(`page.waiting.${state}`));
  showAllCautions(section, state === "failed");
  return state === "ready";
}

function show(section, sheet, answer) {
  if (!answer.errors) {
    clearErrors(section);
    showAnswer(section, answer);
    return;
  }
  const missing = new Set(sheet.missing.map(({ path }) => path));
  const wrong = answer.errors.filter(({ field }) => !isMissing(field, missing, section, sheet));
  if (Object.keys(sheet.inputs).length === 0) {
    clearErrors(section); // nothing is written yet, so nothing is wrong: it is only said what to begin with
    showWaiting(section, "missing", wrong.map(({ message }) => message).join(" "));
    return;
  }
  const elsewhere = showErrors(section, wrong, sheet.places);
  if (sheet.missing.length)
    showMissing(
      section,
      sheet.missing.map(({ label }) => label),
    );
  else showWaiting(section, "refused", [say("page.refused"), ...elsewhere].join(" "));
}

/** A field that is blank is named as missing and not as wrong; so is a list with too few numbers yet. */
function isMissing(field, missing, section, sheet) {
  if (missing.has(field)) return true;
  const list = section.querySelector(`[data-rows="${CSS.escape(field)}"]`);
  return (
    Boolean(list) && [...missing].some((path) => path.startsWith(`${field}[`)) && sheet.missing.length > 0
  );
}

function showNoAnswer(section, fault) {
  if (document.documentElement.dataset.runtime === "failed") canAsk(section, readSheet(section));
  else showFault(section, fault);
}

/** Python starts when the page is at rest or at the first touch, so that reading is never slowed by it. */
function startWhenIdle() {
  let begun = false;
  const begin = () => {
    if (begun) return;
    begun = true;
    startRuntime().catch(() => {});
  };
  addEventListener("pointerdown", begin, { once: true });
  addEventListener("keydown", begin, { once: true });
  if ("requestIdleCallback" in window) requestIdleCallback(begin, { timeout: 2000 });
  else setTimeout(begin, 500);
}

// A visit takes parts of this file, on a page that has no sheet.
if (document.querySelector("section[data-calculator]")) void openCalculators();
