/**
 * Your own timing: ten folds of a drawn lip, and what they tell of how late this person presses.
 *
 * Where runs are started by hand, the button is held like the lip: letting go of it lets the lip fold, the next press
 * is the start. Letting go at a tone cannot be learned here: a screen does not see hands open.
 */
import { anyFold, fold, raise } from "./drawn_lip.js";
import { enough, keepOwnTiming, ownFigures, ownTiming, startHabit, stopHabit } from "./own_habit.js";
import { say } from "../shared/words.js";

const SET = 10;
const WAIT_MS = [1200, 2400];
/** A press further from the mark than this is a slip, and the fold is done again. */
const SLIP_MS = 1000;

/** @param {import("../sheet/calculator.js").WorkSheet} sheet */
export function openOwnTiming(sheet) {
  const dialog = sheet.section.querySelector("dialog[data-own-timing]");
  if (!dialog) return;
  const own = { sheet, dialog, press: dialog.querySelector("[data-own-press]"), phase: "idle", late: null };
  Object.assign(own, { lip: dialog.querySelector("[data-own-lip]"), timer: 0, endFold: () => {} });
  sheet.section.querySelector("[data-act=open-own-timing]").addEventListener("click", () => open(own));
  dialog.querySelector("[data-act=close-own-timing]").addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => rest(own));
  document.addEventListener("visibilitychange", () => own.phase !== "idle" && rest(own));
  dialog.querySelector("[data-act=use-own]").addEventListener("click", () => use(own, true));
  dialog.querySelector("[data-act=use-registered]").addEventListener("click", () => use(own, false));
  dialog.querySelector("[data-act=forget-own]").addEventListener("click", () => forgetAll(own));
  listen(own);
}

function open(own) {
  rest(own);
  own.dialog.showModal();
  own.press.focus();
}

/** A finger or a key goes down and up; each counts once. */
function listen(own) {
  const { press } = own;
  const isKey = ({ key, repeat }) => (key === " " || key === "Enter") && !repeat;
  let handled = false;
  press.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button !== 0) return;
    handled = true;
    press.setPointerCapture(event.pointerId);
    down(own, event.timeStamp);
  });
  press.addEventListener("pointerup", (event) => up(own, event.timeStamp));
  press.addEventListener("pointercancel", () => own.phase === "held" && next(own));
  press.addEventListener("keydown", (event) => {
    if (event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    if (isKey(event)) down(own, event.timeStamp);
  });
  press.addEventListener("keyup", (event) => {
    if (!isKey(event)) return;
    event.preventDefault();
    up(own, event.timeStamp);
  });
  press.addEventListener("click", (event) => {
    if (!handled) down(own, event.timeStamp); // a screen reader presses with a click alone
    handled = false;
  });
}

const DOWN = {
  idle: (own) => begin(own),
  hold: (own) => to(own, "held"),
  waiting: (own) => slip(own), // before the lip has gone
  gone: (own, stamp) => startPressed(own, stamp),
  folding: (own, stamp) => stopPressed(own, stamp),
};

function down(own, stamp) {
  DOWN[own.phase]?.(own, stamp);
}

function up(own, stamp) {
  if (own.phase === "held") letGo(own, stamp, "gone");
}

function begin(own) {
  own.late = { stop: [], start: [] };
  own.byHand = own.dialog.querySelector("[data-own-way]").value === "by-hand";
  next(own);
}

function next(own) {
  own.endFold();
  raise(own.lip);
  if (own.late.stop.length === SET) {
    finish(own);
    return;
  }
  to(own, own.byHand ? "hold" : "waiting");
  if (own.byHand) return;
  const [least, most] = WAIT_MS;
  own.timer = setTimeout(
    () => letGo(own, performance.now(), "folding"),
    least + Math.random() * (most - least),
  );
}

/** The lip goes: from here its time is known. */
function letGo(own, stamp, phase) {
  const lasts = anyFold();
  Object.assign(own, { goneAt: stamp, endsAt: stamp + lasts, startLate: null });
  own.endFold = fold(own.lip, stamp, lasts);
  to(own, phase);
  own.timer = setTimeout(() => slip(own), lasts + SLIP_MS);
}

function startPressed(own, stamp) {
  own.startLate = (stamp - own.goneAt) / 1000;
  to(own, "folding");
}

function stopPressed(own, stamp) {
  if (stamp < own.endsAt - SLIP_MS) {
    slip(own);
    return;
  }
  clearTimeout(own.timer);
  own.late.stop.push((stamp - own.endsAt) / 1000);
  if (own.byHand) own.late.start.push(own.startLate);
  next(own);
}

/** A fold that was missed, or pressed far too early, is done again. */
function slip(own) {
  clearTimeout(own.timer);
  next(own);
  showState(own, "page.own.again");
}

/** Whole sets alone are kept. */
function finish(own) {
  const kept = ownTiming();
  keepOwnTiming({
    ...kept,
    stop: [...kept.stop, ...own.late.stop],
    start: [...kept.start, ...own.late.start],
  });
  rest(own);
  own.sheet.changed();
}

function rest(own) {
  clearTimeout(own.timer);
  own.endFold();
  raise(own.lip);
  own.late = null;
  to(own, "idle");
  showHabit(own);
}

function to(own, phase) {
  own.phase = phase;
  own.dialog.dataset.phase = phase;
  own.press.textContent = say(`page.own.press.${phase}`);
  showState(own, `page.own.state.${phase}`);
}

function showState(own, code) {
  const count = own.late ? Math.min(SET, own.late.stop.length + 1) : 0;
  own.dialog.querySelector("[data-own-state]").textContent = say(code, { count, of: SET });
}

function use(own, used) {
  keepOwnTiming({ ...ownTiming(), used });
  showHabit(own);
  own.sheet.changed();
}

function forgetAll(own) {
  keepOwnTiming({ stop: [], start: [], used: false });
  showHabit(own);
  own.sheet.changed();
}

/** Show what the folds so far tell, and offer it where there are enough. */
function showHabit({ dialog, sheet }) {
  const figures = ownFigures(sheet.section);
  const timing = ownTiming();
  const lines = [
    ...told("stop", stopHabit(timing.stop, figures)),
    ...told("start", startHabit(timing.start, figures)),
  ];
  const left = figures.folds - timing.stop.length;
  if (left > 0) lines.push(say("page.own.left", { count: left }));
  else lines.push(say(timing.used ? "page.own.used" : "page.own.not-used"));
  dialog
    .querySelector("[data-own-habit]")
    .replaceChildren(
      ...lines.map((text) => Object.assign(document.createElement("p"), { textContent: text })),
    );
  const ready = enough(timing.stop, figures);
  dialog.querySelector("[data-act=use-own]").hidden = !ready || timing.used;
  dialog.querySelector("[data-act=use-registered]").hidden = !timing.used;
  dialog.querySelector("[data-act=forget-own]").hidden = timing.stop.length === 0;
}

function told(part, habit) {
  if (!habit) return [];
  const { bias_s: bias, bias_uncertainty_s: doubt, scatter_s: scatter } = habit.row;
  const when = (part === "stop" ? bias : -bias) < 0 ? "early" : "late";
  const values = { bias: Math.abs(bias), doubt, scatter, count: habit.count };
  return [say(`page.own.${part}.${when}`, values), say("page.own.doubt", values)];
}
