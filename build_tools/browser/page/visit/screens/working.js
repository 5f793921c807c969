/**
 * A visit being worked: one screen at a time, each act on disk before the next screen is shown.
 */
import { actOn } from "../asked/acting.js";
import { askAbout } from "../asked/asking.js";
import { forgetDraft } from "../kept/draft.js";
import { showEntered } from "./earlier.js";
import { LogFault } from "../kept/log.js";
import { noticeOf, tell } from "./notices.js";
import { showScreen } from "./screens.js";
import { askToWrite } from "../kept/writer.js";
import { onSaveBeforeSwap } from "../../shared/tabs.js";

/** A thumb that bounces on Done must not answer the next screen too. */
const REST_MS = 400;

/**
 * @typedef {object} Work a visit on the screen
 * @property {string} id
 * @property {string} leveler
 * @property {import("../kept/log.js").LogEvent[]} events
 * @property {any} screen as Python gives it
 * @property {boolean} writes false where another tab works on this visit
 * @property {HTMLElement} place
 * @property {any} tools
 * @property {(act: object) => Promise<{field: string, message: string}[]>} act what is wrong with it; nothing is wrong where the next screen stands
 * @property {(act: object) => Promise<{field: string, message: string}[] | null>} actBehind the same while the present screen stays: a run, struck out or not
 * @property {(text: string) => void} tell say a sentence on the present screen
 * @property {() => Promise<void>} show show the present screen
 * @property {(hash: string) => void} go
 */

/**
 * Show a visit where it stands.
 * @param {HTMLElement} place
 * @param {string} id
 * @param {any} tools
 * @returns {Promise<() => void>} to be called when the visit is left
 */
export function showVisit(place, id, tools) {
  return showBy(showScreen, place, id, tools);
}

/** Show what was entered in a visit, a closed one too, each to be corrected. */
export function showVisitsEntries(place, id, tools) {
  return showBy(showEntered, place, id, tools);
}

async function showBy(shown, place, id, tools) {
  /** @type {any} */
  const work = { id, place, tools, shown, go: tools.go, busy: false, shownAt: 0, left: false };
  const writer = await askToWrite(id, () => {
    work.writes = true;
    follow(work);
  });
  work.writes = writer.writes;
  work.act = (act) => (hasRested(work) ? once(work, () => perform(work, act)) : null);
  work.actBehind = (act) => inTurn(work, () => write(work, act));
  work.tell = (text) => tell(work.place, text);
  work.show = () => showNow(work);
  tools.log.onWritten((visit) => visit === id && !work.writes && !work.left && follow(work));
  onSaveBeforeSwap(() => work.pending);
  await renew(work);
  return () => {
    work.left = true;
    writer.letGo();
  };
}

/** Another tab has written, or has let go: show what the log leads to now. */
function follow(work) {
  renew(work).catch((fault) => noticeOf(work, fault));
}

/** Read the log and show what it leads to. */
async function renew(work) {
  work.events = await work.tools.log.eventsOf(work.id);
  work.leveler = work.events[0]?.leveler ?? "";
  if (!work.events.length) return work.go("");
  await look(work);
  return showNow(work);
}

/** Ask what screen the log leads to: nothing is shown that is not in it. */
async function look(work) {
  const { screen, errors } = await askAbout("screen", { events: work.events });
  if (errors) throw new Error(errors.map(({ message }) => message).join(" "));
  work.screen = screen;
}

async function showNow(work) {
  if (work.left) return;
  await work.shown(work);
  work.shownAt = performance.now();
}

function hasRested({ shownAt }) {
  return performance.now() - shownAt >= REST_MS;
}

/** What is done behind a screen that stays waits for what is being written: no run may be lost to another. */
async function inTurn(work, perform) {
  while (work.busy) await work.pending.catch(() => {});
  return once(work, perform);
}

/** One act at a time. */
async function once(work, perform) {
  if (work.busy || !work.writes) return null;
  work.busy = true;
  document.documentElement.dataset.unsaved = "yes";
  work.pending = perform();
  try {
    return await work.pending;
  } catch (fault) {
    await noticeOf(work, fault);
    return null;
  } finally {
    work.busy = false;
    delete document.documentElement.dataset.unsaved;
  }
}

/** Ask what an act leads to, write it down, and only then show it. */
async function perform(work, act) {
  const errors = await write(work, act);
  if (errors?.length !== 0) return errors;
  forgetDraft(work.id);
  await showNow(work);
  return errors;
}

/** Write an act down; the screen stays what it is, and knows what came of it. */
async function write(work, act) {
  try {
    const { errors, screen } = await actOn(work.tools.log, work, act);
    work.screen = screen ?? work.screen;
    return errors;
  } catch (fault) {
    if (!(fault instanceof LogFault) || fault.code !== "moved") throw fault;
    await renew(work); // another tab has written: what it wrote is shown in place of this act
    return null;
  }
}
