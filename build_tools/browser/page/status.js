/** Says in words what this phone keeps, in every element with data-status="offline". */
import { say, sayDate } from "./words.js";

/** @typedef {import("./keeper.js").Standing} Standing */
/** @typedef {import("./keeper.js").Fault} Fault */

/**
 * @param {Standing | "preview" | "network-only" | "blocked"} standing how things stand, or why nothing can be kept
 * @param {Fault | null} [fault] what stopped the keeping, if anything did
 */
export function showStanding(standing, fault = null) {
  const level = typeof standing === "string" ? "none" : levelOf(standing);
  document.documentElement.dataset.offline = level;
  const sentences = typeof standing === "string" ? [say(`page.offline.${standing}`)] : describe(standing, level, fault);
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

/** @param {Standing} standing @param {string} level @param {Fault | null} fault */
function describe(standing, level, fault) {
  const { current, next } = standing;
  const sentences = [say(`page.offline.${current && level === "none" ? "incomplete" : level}`)];
  if (!current && next) sentences.push(progress("keeping-pages", next, ["reading"]));
  if (current && level !== "complete" && !next) {
    const tier = level === "none" ? "reading" : "calculators";
    sentences.push(progress(level === "none" ? "repairing" : "keeping-calculators", current, [tier]));
  }
  if (current) sentences.push(say("page.edition.shown", { date: sayDate(current.date), edition: current.edition }));
  if (current && next && !standing.ready) sentences.push(progress("keeping-edition", next, ["reading", ...current.kept]));
  // With everything here, no network is how things are meant to be, and no fault.
  if (fault && !(level === "complete" && ["offline", "not-the-handbook"].includes(fault.code))) {
    sentences.push(say(`page.offline.fault.${fault.code}`, { file: fault.url }));
  }
  return sentences;
}

/** @param {string} code @param {import("./keeper.js").EditionStanding} edition @param {string[]} tiers */
function progress(code, edition, tiers) {
  const counts = [...new Set(tiers)].map((tier) => edition.tiers[tier]);
  const total = counts.reduce((sum, { files }) => sum + files, 0);
  const done = total - counts.reduce((sum, { missing }) => sum + missing, 0);
  return say(`page.offline.${code}`, { done, total, date: sayDate(edition.date) });
}
