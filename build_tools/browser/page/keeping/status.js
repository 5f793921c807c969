/** Says in words what this phone keeps, in every element with data-status="offline". */
import { storageBlocked } from "../shared/kept.js";
import { isSaid, say, sayDate } from "../shared/words.js";

/** @typedef {import("./keeper.js").Standing} Standing */
/** @typedef {import("./keeper.js").Fault} Fault */

const DAY_MS = 86_400_000;

/** What is said where there is no standing to tell of. @type {Record<string, string[]>} */
const WITHOUT = {
  preview: ["page.offline.preview"],
  "network-only": ["page.offline.network-only"],
  blocked: ["page.offline.blocked"],
  unreached: ["page.offline.none", "page.offline.fault.offline"],
};

/**
 * @param {Standing | "preview" | "network-only" | "blocked" | "unreached"} standing how things stand, or why nothing is kept
 * @param {Fault | null} [fault] what stopped the keeping, if anything did
 * @param {boolean} [looked] whether the host has been asked for its newest edition, and has answered
 */
export function showStanding(standing, fault = null, looked = false) {
  const level = typeof standing === "string" ? "none" : levelOf(standing);
  document.documentElement.dataset.offline = level;
  if (!isSaid("page.offline.none")) return; // the words are missing: what the page says by itself holds
  const sentences =
    typeof standing === "string"
      ? WITHOUT[standing].map((code) => say(code))
      : describe(standing, level, fault, looked);
  if (["network-only", "blocked"].includes(/** @type {any} */ (standing)) && storageBlocked())
    sentences.push(say("page.kept.not-written"));
  if (typeof WebAssembly !== "object") sentences.push(say("page.offline.no-calculators"));
  for (const place of document.querySelectorAll("[data-status=offline]")) {
    const text = sentences.join(" ");
    if (place.textContent !== text) place.textContent = text;
  }
}

/** @param {Standing} standing @returns {"none" | "reading" | "complete"} */
function levelOf({ current }) {
  if (!current || !isWhole(current, "reading")) return "none";
  return Object.keys(current.tiers).every((tier) => isWhole(current, tier)) ? "complete" : "reading";
}

/** @param {import("./keeper.js").EditionStanding} edition @param {string} tier */
const isWhole = (edition, tier) => edition.kept.includes(tier) && edition.tiers[tier].missing === 0;

/** @param {Standing} standing @param {string} level @param {Fault | null} fault @param {boolean} looked */
function describe(standing, level, fault, looked) {
  const { current, next } = standing;
  const sentences = [say(`page.offline.${current && level === "none" ? "incomplete" : level}`)];
  if (!current && next) sentences.push(progress("keeping-pages", next, ["reading"]));
  if (current && level !== "complete" && !next) {
    const tier = level === "none" ? "reading" : "calculators";
    sentences.push(progress(level === "none" ? "repairing" : "keeping-calculators", current, [tier]));
  }
  if (current)
    sentences.push(say("page.edition.shown", { date: sayDate(current.date), edition: current.edition }));
  if (current) sentences.push(...age(current, looked && !next));
  if (current && next && !standing.ready)
    sentences.push(progress("keeping-edition", next, ["reading", ...current.kept]));
  // With everything here, no network is how things are meant to be, and no fault.
  if (fault && !(level === "complete" && ["offline", "not-the-handbook"].includes(fault.code))) {
    sentences.push(say(`page.offline.fault.${fault.code}`, { file: fault.url }));
  }
  return sentences;
}

/**
 * How old the edition is by this phone's clock, once that is more than the company's figure allows.
 * @param {import("./keeper.js").EditionStanding} edition @param {boolean} isNewest
 */
function age({ date }, isNewest) {
  const oldAfter = Number(document.documentElement.dataset.oldAfterDays ?? Infinity);
  const days = Math.floor((Date.now() - Date.parse(date)) / DAY_MS);
  return days > oldAfter ? [say(`page.edition.old.${isNewest ? "newest" : "look"}`, { days })] : [];
}

/** @param {string} code @param {import("./keeper.js").EditionStanding} edition @param {string[]} tiers */
function progress(code, edition, tiers) {
  const counts = [...new Set(tiers)].map((tier) => edition.tiers[tier]);
  const total = counts.reduce((sum, { files }) => sum + files, 0);
  const done = total - counts.reduce((sum, { missing }) => sum + missing, 0);
  return say(`page.offline.${code}`, { done, total, date: sayDate(edition.date) });
}
