/**
 * The big stopwatch of a work sheet: the lower half of the screen is its button, and every run goes onto the sheet.
 */
import { holdForRun, keepScreenAwake, letGo, readySound, signal } from "./awake.js";
import { forget, keep, kept } from "../shared/kept.js";
import { recordRun, runRows } from "./recorded_runs.js";
import { putBack, isStruck, rowName, strikeOut } from "../sheet/rows.js";
import { RunTimer } from "./run_timer.js";
import { fixed } from "../shared/decimal_text.js";
import { stopwatchLock } from "../shared/tabs.js";
import { say, withMark } from "../shared/words.js";

const MARK = "stopwatch-running";

/** Give a sheet its stopwatch, where it times anything. @param {import("../sheet/calculator.js").WorkSheet} sheet */
export function openStopwatch(sheet) {
  const dialog = sheet.section.querySelector("dialog[data-stopwatch]");
  if (!dialog) return;
  const watch = { sheet, dialog, timer: new RunTimer(), press: dialog.querySelector("[data-press]") };
  const opener = sheet.section.querySelector("[data-act=open-stopwatch]");
  opener.hidden = false;
  opener.addEventListener("click", () => open(watch));
  dialog.querySelector("[data-act=close-stopwatch]").addEventListener("click", () => dialog.close());
  dialog.addEventListener("cancel", (event) => watch.timer.running && event.preventDefault());
  dialog.addEventListener("close", () => abandon(watch));
  listenForPresses(watch);
  document.addEventListener("visibilitychange", () => noticeHidden(watch));
  recordLostRun(sheet);
}

function open(watch) {
  readySound();
  showRuns(watch);
  showState(watch, "page.stopwatch.ready");
  watch.dialog.showModal();
  watch.press.focus();
}

/** A press counts when the finger comes down or the key goes down; the click that follows is not a second press. */
function listenForPresses(watch) {
  const { press } = watch;
  let handled = false;
  press.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button !== 0) return;
    handled = true;
    pressed(watch, event);
  });
  press.addEventListener("keydown", (event) => {
    if (event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    if (!event.repeat) pressed(watch, event);
  });
  press.addEventListener("keyup", (event) => event.key === " " && event.preventDefault());
  press.addEventListener("click", (event) => {
    if (!handled) pressed(watch, event); // a screen reader presses with a click alone
    handled = false;
    readySound();
  });
}

function pressed(watch, event) {
  const wall = Date.now() - (performance.now() - event.timeStamp);
  const press = watch.timer.press(event.timeStamp, wall);
  if (press.kind === "started") started(watch, wall);
  if (press.kind === "stopped") stopped(watch, press);
}

async function started(watch, wall) {
  signal(1);
  keep(MARK, { sheet: watch.sheet.name, wall });
  watch.press.textContent = say("page.stopwatch.stop");
  showState(watch, "page.stopwatch.running");
  watch.dialog.dataset.state = "running";
  tick(watch);
  if (!(await holdForRun()) && watch.timer.running) showState(watch, "page.stopwatch.screen-may-lock");
}

function stopped(watch, { seconds, spoiled }) {
  signal(2);
  forget(MARK);
  letGo();
  watch.dialog.dataset.state = "stopped";
  watch.press.textContent = say("page.stopwatch.start");
  recordRun(watch.sheet, fixed(seconds, 2), spoiled && say(`page.stopwatch.spoiled.${spoiled}`));
  showDigits(watch, seconds);
  showState(watch, spoiled ? `page.stopwatch.spoiled.${spoiled}` : "page.stopwatch.stopped");
  showRuns(watch);
}

/** A run whose stopwatch was put away is written down as struck out, like any that nobody stopped. */
function abandon(watch) {
  if (!watch.timer.running) return;
  watch.timer.spoil("put-away");
  stopped(watch, watch.timer.end(performance.now(), Date.now()));
}

function noticeHidden(watch) {
  if (!watch.timer.running) return;
  watch.timer.spoil("hidden");
  showState(watch, "page.stopwatch.spoiled.hidden");
  if (document.visibilityState === "visible") keepScreenAwake();
}

/** A mark that still stands when no tab's stopwatch runs is that of a run which a reload or a closed browser cut off. */
async function recordLostRun(sheet) {
  const mark = kept(MARK);
  if (mark?.sheet !== sheet.name) return;
  await navigator.locks?.request(stopwatchLock, () => {}); // granted once nothing runs
  if (kept(MARK)?.wall !== mark.wall) return;
  forget(MARK);
  const time = new Date(mark.wall).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  recordRun(sheet, "", say("page.stopwatch.spoiled.reload", { time }));
}

function tick(watch) {
  if (!watch.timer.running) return;
  showDigits(watch, watch.timer.elapsed(performance.now()));
  requestAnimationFrame(() => tick(watch));
}

function showDigits(watch, seconds) {
  watch.dialog.querySelector("[data-digits]").textContent = withMark(fixed(Math.max(0, seconds), 2));
}

function showState(watch, code) {
  watch.dialog.querySelector("[data-stopwatch-state]").textContent = say(code);
}

/** List the runs on the sheet, each with its own way to strike it out. */
function showRuns(watch) {
  const list = watch.dialog.querySelector("[data-stopwatch-runs]");
  list.replaceChildren(
    ...runRows(watch.sheet).map(({ row, text }) => {
      const item = document.createElement("li");
      const button = document.createElement("button");
      const run = say("page.stopwatch.run", { seconds: withMark(text) || say("page.stopwatch.no-time") });
      item.append(run, " ", button);
      item.toggleAttribute("data-struck", isStruck(row));
      button.type = "button";
      button.textContent = say(isStruck(row) ? "page.put-back" : "page.strike-out");
      button.setAttribute("aria-label", `${button.textContent}: ${rowName(row)}, ${run}`);
      button.addEventListener("click", () => {
        if (isStruck(row)) putBack(row);
        else strikeOut(row);
        watch.sheet.changed();
        showRuns(watch);
      });
      return item;
    }),
  );
}
