/**
 * The big stopwatch: the lower half of the screen is its button, and every run goes where its owner keeps runs.
 *
 * A run starts at the long tone of a countdown, or by a press. A tap anywhere ends a countdown, and stops a run.
 */
import { holdForRun, keepScreenAwake, letGo, readySound, runningSound, signal } from "./awake.js";
import { countDown } from "./countdown.js";
import { forget, keep, kept } from "../shared/kept.js";
import { RunTimer } from "./run_timer.js";
import { showRuns } from "./run_list.js";
import { fixed } from "../shared/decimal_text.js";
import { playLongTone } from "./tones.js";
import { stopwatchLock } from "../shared/tabs.js";
import { say, withMark } from "../shared/words.js";

const MARK = "stopwatch-running";
const CHOICES = "stopwatch-choices";
const FLASH_MS = 600;
/** Nobody stops a fold so soon after the tone: such a tap was meant for the countdown. */
const LATE_CANCEL_MS = 400;
/** A thumb that bounces when it ends something must not begin a countdown. */
const REST_MS = 500;
let soundTried = false;

/**
 * Where the runs of a stopwatch go: a work sheet, or a visit.
 * @typedef {object} Runs
 * @property {string} name to whom a run belongs that a reload cut off
 * @property {string} kept the code of the sentence that says where a run is now
 * @property {boolean} [goesOn] true where its owner has told already what to do: the countdown begins as the stopwatch opens
 * @property {(text: string, why: string, start: import("./how_timed.js").Start) => string | Promise<string>} record write
 *   one down at once: its seconds, "" where the time is not known; why it does not count, "" where it does; how it was
 *   started. Gives "", or a sentence that says why it is not written
 * @property {() => ListedRun[]} all
 * @property {() => void} drop count one that the lip was not let go for
 * @property {() => number} dropped
 *
 * @typedef {object} ListedRun
 * @property {string} name
 * @property {string} text its seconds, "" where the time is not known
 * @property {string} start how it was started, in words
 * @property {boolean} isStruck
 * @property {() => void | Promise<void>} turn strike it out, or put it back
 */

/**
 * Let a stopwatch be opened.
 * @param {HTMLDialogElement} dialog
 * @param {HTMLElement} opener
 * @param {Runs} runs
 */
export function openStopwatch(dialog, opener, runs) {
  const watch = { runs, dialog, timer: new RunTimer(), press: dialog.querySelector("[data-press]") };
  Object.assign(watch, { endCountdown: null, start: {}, stamp: -Infinity, endedAt: -Infinity });
  opener.hidden = false;
  opener.addEventListener("click", () => open(watch));
  dialog.querySelector("[data-act=close-stopwatch]").addEventListener("click", () => dialog.close());
  dialog.addEventListener("cancel", (event) => keepOpen(watch, event));
  dialog.addEventListener("close", () => abandon(watch));
  listenForPresses(watch);
  listenForChoices(watch);
  document.addEventListener("visibilitychange", () => noticeHidden(watch));
  recordLostRun(runs);
}

function open(watch) {
  readySound();
  showRuns(watch.dialog, watch.runs);
  showReady(watch);
  watch.dialog.showModal();
  watch.press.focus();
  if (watch.runs.goesOn && soundTried && wayOf(watch) === "countdown") void beginCountdown(watch);
}

/** Escape ends a countdown, and never puts a running stopwatch away. */
function keepOpen(watch, event) {
  if (watch.timer.running || watch.endCountdown) event.preventDefault();
  if (watch.endCountdown) cancelCountdown(watch);
}

/** A press counts when the finger comes down or the key goes down; the click that follows is not a second press. */
function listenForPresses(watch) {
  const { press, dialog } = watch;
  let handled = false;
  dialog.addEventListener("pointerdown", (event) => {
    const button = event.target.closest("button, select");
    if (!event.isPrimary || event.button !== 0 || (button && button !== press)) return;
    if (!button && !isBusy(watch)) return;
    handled = button === press;
    // A countdown begins at the click that follows: a browser gives no sound for a finger that only comes down.
    if (isBusy(watch) || wayOf(watch) !== "countdown") pressed(watch, event);
    else handled = false;
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

/** How runs are started, and how long the countdown is, are kept on the phone. */
function listenForChoices(watch) {
  const { dialog } = watch;
  const chosen = kept(CHOICES) ?? {};
  for (const choice of dialog.querySelectorAll("[data-choice]")) {
    if ([...choice.options].some(({ value }) => value === chosen[choice.dataset.choice]))
      choice.value = chosen[choice.dataset.choice];
    choice.addEventListener("change", () => {
      keep(CHOICES, { ...kept(CHOICES), [choice.dataset.choice]: choice.value });
      showReady(watch);
    });
  }
  dialog.querySelector("[data-act=try-sound]").addEventListener("click", () => trySound(watch));
  dialog.querySelector("[data-act=not-let-go]").addEventListener("click", () => drop(watch));
}

function pressed(watch, event) {
  const wall = wallAt(event.timeStamp);
  if (watch.endCountdown) cancelCountdown(watch);
  else if (watch.timer.running && event.timeStamp - watch.stamp < LATE_CANCEL_MS) drop(watch);
  else if (!watch.timer.running && wayOf(watch) === "countdown") {
    if (event.timeStamp - watch.endedAt > REST_MS) beginCountdown(watch);
  } else {
    const press = watch.timer.press(event.timeStamp, wall);
    if (press.kind === "started") {
      signal(1);
      started(watch, wall, { started: wayOf(watch) });
    }
    if (press.kind === "stopped") stopped(watch, press);
  }
}

function isBusy(watch) {
  return watch.timer.running || Boolean(watch.endCountdown);
}

function wayOf(watch) {
  return watch.dialog.querySelector("[data-choice=way]").value;
}

function wallAt(stamp) {
  return Date.now() - (performance.now() - stamp);
}

async function trySound(watch) {
  const context = await runningSound();
  if (!context) {
    showState(watch, "page.stopwatch.no-sound");
    return;
  }
  playLongTone(context);
  navigator.vibrate?.(400);
  soundTried = true;
  showReady(watch);
  showState(watch, "page.stopwatch.sound-tried");
}

async function beginCountdown(watch) {
  if (!soundTried) return trySound(watch);
  const context = await runningSound();
  if (!context || isBusy(watch) || !watch.dialog.open) {
    if (!context) showState(watch, "page.stopwatch.no-sound");
    return;
  }
  watch.dialog.dataset.state = "counting";
  watch.press.textContent = say("page.stopwatch.cancel");
  showState(watch, "page.stopwatch.counting");
  watch.endCountdown = countDown(context, Number(watch.dialog.querySelector("[data-choice=lead]").value), {
    second: (seconds) => showWhole(watch, seconds),
    tone: (start) => toneHeard(watch, start),
    lost: () => cancelCountdown(watch, "page.stopwatch.sound-held-up"),
  });
  holdForRun();
}

function toneHeard(watch, { stamp, saysDelay }) {
  watch.endCountdown = null;
  watch.stamp = stamp;
  navigator.vibrate?.(400);
  flash(watch);
  watch.timer.begin(stamp, wallAt(stamp));
  started(watch, wallAt(stamp), { started: "countdown", ...(!saysDelay && { tone: "untold" }) });
}

function flash({ dialog }) {
  dialog.dataset.flash = "";
  setTimeout(() => delete dialog.dataset.flash, FLASH_MS);
}

/** Nobody is hurried: a countdown that was ended leaves nothing behind. */
function cancelCountdown(watch, why = "page.stopwatch.cancelled") {
  watch.endCountdown?.();
  watch.endCountdown = null;
  watch.endedAt = performance.now();
  letGo();
  showReady(watch);
  showState(watch, why);
}

async function started(watch, wall, start) {
  watch.start = start;
  keep(MARK, { sheet: watch.runs.name, wall, start });
  watch.press.textContent = say("page.stopwatch.stop");
  showState(watch, "page.stopwatch.running");
  watch.dialog.dataset.state = "running";
  watch.dialog.querySelector("[data-act=not-let-go]").hidden = start.started !== "countdown";
  tick(watch);
  if (!(await holdForRun()) && watch.timer.running) showState(watch, "page.stopwatch.screen-may-lock");
}

/** What is kept on disk is told once it is there. */
async function stopped(watch, { seconds, spoiled }) {
  signal(2);
  ended(watch);
  watch.dialog.dataset.state = "stopped";
  showDigits(watch, seconds);
  const why = spoiled && say(`page.stopwatch.spoiled.${spoiled}`);
  const refused = await watch.runs.record(fixed(seconds, 2), why, watch.start);
  showText(watch, refused || why || say(watch.runs.kept));
  showRuns(watch.dialog, watch.runs);
}

/** The lip was not let go at the tone: nothing was timed, so nothing is struck out. */
function drop(watch) {
  watch.timer.end(performance.now(), Date.now());
  ended(watch);
  watch.runs.drop();
  showReady(watch);
  showState(watch, "page.stopwatch.dropped-now");
  showRuns(watch.dialog, watch.runs);
}

function ended(watch) {
  forget(MARK);
  letGo();
  watch.stamp = -Infinity;
  watch.endedAt = performance.now();
  watch.dialog.querySelector("[data-act=not-let-go]").hidden = true;
  showPress(watch);
}

/** A run whose stopwatch was put away is written down as struck out, like any that nobody stopped. */
function abandon(watch) {
  if (watch.endCountdown) cancelCountdown(watch);
  if (!watch.timer.running) return;
  watch.timer.spoil("put-away");
  stopped(watch, watch.timer.end(performance.now(), Date.now()));
}

function noticeHidden(watch) {
  if (watch.endCountdown) cancelCountdown(watch, "page.stopwatch.countdown-left");
  if (!watch.timer.running) return;
  watch.timer.spoil("hidden");
  showState(watch, "page.stopwatch.spoiled.hidden");
  if (document.visibilityState === "visible") keepScreenAwake();
}

/** A mark that still stands when no tab's stopwatch runs is that of a run which a reload or a closed browser cut off. */
async function recordLostRun(runs) {
  const mark = kept(MARK);
  if (mark?.sheet !== runs.name) return;
  await navigator.locks?.request(stopwatchLock, () => {}); // granted once nothing runs
  if (kept(MARK)?.wall !== mark.wall) return;
  forget(MARK);
  const time = new Date(mark.wall).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  runs.record("", say("page.stopwatch.spoiled.reload", { time }), mark.start);
}

function tick(watch) {
  if (!watch.timer.running) return;
  showDigits(watch, watch.timer.elapsed(performance.now()));
  requestAnimationFrame(() => tick(watch));
}

function showReady(watch) {
  watch.dialog.dataset.state = "ready";
  watch.dialog.dataset.way = wayOf(watch);
  showPress(watch);
  showDigits(watch, 0);
  showState(watch, `page.stopwatch.ready.${wayOf(watch)}`);
}

/** What the next press does. */
function showPress(watch) {
  const byTone = wayOf(watch) === "countdown";
  const code = byTone ? (soundTried ? "count-down" : "try-sound") : "start";
  watch.press.textContent = say(`page.stopwatch.${code}`);
  watch.dialog.querySelector("[data-act=try-sound]").hidden = !soundTried;
}

function showDigits(watch, seconds) {
  const digits = watch.dialog.querySelector("[data-digits]");
  digits.textContent = withMark(fixed(Math.max(0, seconds), 2));
}

function showWhole(watch, seconds) {
  watch.dialog.querySelector("[data-digits]").textContent = String(seconds);
}

function showState(watch, code) {
  showText(watch, say(code));
}

function showText(watch, text) {
  watch.dialog.querySelector("[data-stopwatch-state]").textContent = text;
}
