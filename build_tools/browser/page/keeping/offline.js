/** Keeps the book on this phone: decides which file comes next, a file a message, and says how things stand. */
import { showDetails } from "./details.js";
import { showHomeScreenAdvice } from "./home_screen.js";
import { askKeeper, claimed, findKeeper, isUnreached, retireKeeper } from "./keeper.js";
import { askToLast } from "./lasting.js";
import { showOffer } from "./offer.js";
import { showStanding } from "./status.js";
import { saveAndReload } from "../shared/tabs.js";

/** @typedef {import("./keeper.js").Standing} Standing */
/** @typedef {import("./keeper.js").Fault} Fault */

const FRESH_STARTS = 3;
const AGAIN_MS = 30_000;

/** @type {Standing | null} */
let standing = null;
/** @type {Fault | null} */
let fault = null;
/** The edition that this page came from; a page from the network came from the one first seen on the host. @type {string | null} */
let opened = null;
let runtimeWanted = false;
/** True once the host has told its newest edition. */
let looked = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let again;
/** @type {Promise<void> | null} */
let keeping = null;

/** Begin, or take up again, keeping the book; called once a page, and by itself when the network is back. */
export async function startKeeping() {
  if ("preview" in document.documentElement.dataset) {
    showStanding("preview");
    return retireKeeper();
  }
  if (!(await findKeeper())) return isUnreached() ? startAgain() : showStanding("network-only");
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data?.type === "swapped") saveAndReload();
  });
  window.addEventListener("online", () => void keepOn());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && keepOn());
  return keepOn();
}

let tellPagesKept = () => {};
/** Fulfilled once the pages are kept. @type {Promise<void>} */
const pagesKept = new Promise((resolve) => (tellPagesKept = resolve));

/**
 * True on a first visit once the pages are kept: what Python asks for is then fetched, verified and kept as it is asked
 * for, and nothing waits for its turn.
 */
export async function runtimeFilesCome() {
  if ("preview" in document.documentElement.dataset || !(await findKeeper())) return false;
  await Promise.race([keepOn(), pagesKept]);
  return Boolean(
    isWhole("reading") && !isWhole("calculators") && !standing?.next && !fault && (await isServedFromPhone()),
  );
}

/** The network broke before anything could be kept: begin once more when it may be back. */
async function startAgain() {
  showStanding("unreached");
  await new Promise((resolve) => {
    window.addEventListener("online", resolve, { once: true });
    setTimeout(resolve, AGAIN_MS);
  });
  return startKeeping();
}

/**
 * Wait until the calculators' files can be had.
 * @returns {Promise<"kept" | "network">} "kept": on this phone and verified; "network": nothing can be kept here
 * @throws {Error & {code: string}} "offline-not-kept", "damaged", "not-the-handbook", "moved" (the host has another
 *   edition, which is offered) or "unknown"
 */
export async function runtimeFilesReady() {
  if ("preview" in document.documentElement.dataset) return "network";
  if (!(await findKeeper())) {
    if (isUnreached()) throw Object.assign(new Error("offline-not-kept"), { code: "offline-not-kept" });
    return "network";
  }
  runtimeWanted = true;
  await keepOn();
  if (!isWhole("calculators")) await keepOn(); // the first round may have been at its end when the calculators were asked for
  if (!standing || fault?.code === "no-room") return "network";
  if (isWhole("calculators")) return (await isServedFromPhone()) ? "kept" : "network";
  const code = fault?.code ?? (standing.next ? "moved" : "unknown");
  throw Object.assign(new Error(code), { code: code === "offline" ? "offline-not-kept" : code });
}

/** One round of keeping at a time. */
function keepOn() {
  keeping ??= keepRound().finally(() => (keeping = null));
  return keeping;
}

async function keepRound() {
  take(await askKeeper("")); // what is already here can be told before any network answers
  // Not on the visit that fetches the book: what comes late would push aside what is being read.
  if (isAllWhole()) showHomeScreenAdvice();
  const answer = await askKeeper("look");
  looked = !answer.fault;
  take(answer);
  let freshStarts = 0;
  for (let work = nextWork(); work && canGoOn() && freshStarts < FRESH_STARTS; work = nextWork()) {
    take(await askKeeper("step", work));
    if (fault?.code !== "moved") continue;
    freshStarts += 1;
    runtimeWanted = false; // the files of the edition shown are no longer on the host
  }
  if (standing) void tellDetails(standing);
  clearTimeout(again);
  if (fault?.code === "offline" && nextWork()) again = setTimeout(keepOn, AGAIN_MS);
}

/** @param {Standing} shown */
async function tellDetails(shown) {
  await showDetails(shown);
  if (!shown.current || !isAllWhole()) return;
  await askToLast(shown.current.edition); // a browser may ask the person first, so nothing waits for this
  await showDetails(shown);
}

const canGoOn = () => !fault || fault.code === "moved";

/** @param {{standing: Standing | null, fault: Fault | null}} answer */
function take(answer) {
  standing = answer.standing ?? (answer.fault ? standing : null); // a lost worker changes nothing that is kept
  fault = answer.fault;
  if (!standing) return showStanding("blocked");
  opened ??= standing.opened ?? (standing.next ?? standing.current)?.edition ?? null;
  if (standing.withdrawn && !("notice" in document.documentElement.dataset)) return saveAndReload();
  if (isWhole("reading")) tellPagesKept();
  showStanding(standing, fault, looked);
  return showOffer(standing, opened);
}

/**
 * What to fetch next, and from which edition; null where nothing is left to do.
 * The calculators of an edition that the host has left are only tried for where a person waits for them.
 */
function nextWork() {
  if (!standing) return null;
  const { current, next } = standing;
  if (!current) return next && { edition: next.edition, tiers: ["reading"] };
  const all = Object.keys(current.tiers);
  if (runtimeWanted && !isWhole("calculators")) return { edition: current.edition, tiers: all };
  if (next) {
    const had = ["reading", ...current.kept];
    return had.every((tier) => next.kept.includes(tier))
      ? null
      : { edition: next.edition, tiers: [...new Set(had)] };
  }
  const unfinished = all.find((tier) => !isWhole(tier));
  return unfinished ? { edition: current.edition, tiers: [unfinished] } : null;
}

/** @param {string} tier */
function isWhole(tier) {
  const current = standing?.current;
  return Boolean(current?.kept.includes(tier) && current.tiers[tier]?.missing === 0);
}

function isAllWhole() {
  return Boolean(standing?.current && Object.keys(standing.current.tiers).every(isWhole));
}

/** True once the worker answers this page's requests, and from the edition that the page came from. */
async function isServedFromPhone() {
  if (opened !== standing?.current?.edition) return false;
  if (!navigator.serviceWorker.controller) {
    await askKeeper("claim");
    await claimed(); // the answer may come before the page has heard of its new worker
  }
  return Boolean(navigator.serviceWorker.controller);
}
