/**
 * To which leveler and which visit a sheet belongs: what was counted at one leveler is never used for another unasked.
 */
import { fieldText, isAtStart, nullBox, startText } from "./entry.js";
import { forget, keep, kept } from "../shared/kept.js";
import { chosenLeveler, LEVELER } from "./leveler_figures.js";
import { isStruck } from "./rows.js";
import { sayDate, say } from "../shared/words.js";
import { sheetState, singleFields } from "./sheet_store.js";

/**
 * @typedef {object} Belonging
 * @property {string} leveler id of the leveler in hand when the sheet was begun, "" where none was chosen
 * @property {string} name of that leveler
 * @property {string} day the sheet was begun on, as 2026-11-30; "" where an earlier edition kept the sheet
 * @property {string} [confirmed] the day on which somebody last said to keep it
 */

/** Today where the phone is, as 2026-11-30. */
export function today() {
  const now = new Date();
  const parts = [now.getFullYear(), now.getMonth() + 1, now.getDate()];
  return parts.map((part) => String(part).padStart(2, "0")).join("-");
}

/** What a kept sheet belongs to: one that an earlier edition kept says nothing of it, so it is asked about. */
export function belongingOf(section, state) {
  return state?.of ?? (isBlank(section) ? null : { leveler: "", name: "", day: "" });
}

/** A sheet begins with the first thing that a person writes on it, and takes the leveler in hand then. */
export function noteBelonging(sheet) {
  if (isBlank(sheet.section)) sheet.of = null;
  else sheet.of ??= { ...inHand(), day: today() };
}

/** A kept sheet is one of the leveler in hand. */
export function belongsInHand(of) {
  return Boolean(of) && doubtOf("leveler", of) === "";
}

/** A kept sheet is one of the leveler in hand, and of this visit. */
export function fitsHere(of) {
  return Boolean(of) && doubtOf("visit", of) === "";
}

/** @returns {"" | "leveler" | "day"} why a sheet must be asked about before it is used */
export function doubt({ section, of }) {
  return of ? doubtOf(section.dataset.belongs, of) : "";
}

function doubtOf(belongs, of) {
  if (!belongs) return "";
  if (of.leveler !== inHand().leveler) return "leveler";
  return belongs === "visit" && of.day !== today() && of.confirmed !== today() ? "day" : "";
}

/**
 * Name the leveler and the day of a sheet; where it may be another's, close it and ask.
 * @returns {boolean} whether the sheet waits for that answer
 */
export function showBelonging(sheet) {
  const { section, of } = sheet;
  const place = section.querySelector("[data-part=belonging]");
  if (!place) return false;
  const why = doubt(sheet);
  place.hidden = !of;
  place.toggleAttribute("data-asks", Boolean(why));
  place.querySelector("[data-belonging-text]").textContent = of ? told(why, of) : "";
  place.querySelector("[data-belonging-choices]").hidden = !why;
  const own = why === "leveler" ? kept(ownKey(sheet.name, inHand().leveler)) : null;
  const button = place.querySelector("[data-act=own-sheet]");
  button.hidden = !own;
  if (own) button.textContent = say("page.belonging.own", { leveler: nameOf(own.of), day: dayOf(own.of) });
  section.querySelector("[data-sheet]").disabled = Boolean(why);
  const opener = section.querySelector("[data-act=open-stopwatch]");
  if (opener) opener.disabled = Boolean(why);
  return Boolean(why);
}

/** The sheet is used at the leveler in hand, today: somebody said so. */
export function confirmSheet(sheet) {
  sheet.of = { ...sheet.of, ...inHand(), confirmed: today() };
}

/** Where a sheet makes way for another leveler's, its own leveler finds it again. */
export function putAway(sheet) {
  if (doubt(sheet) !== "leveler") return;
  keep(ownKey(sheet.name, sheet.of.leveler), { ...sheetState(sheet.section), of: sheet.of });
}

/** Take the sheet that the leveler in hand was left with. */
export function takeOwn(name) {
  const key = ownKey(name, inHand().leveler);
  const own = kept(key);
  forget(key);
  return own;
}

function told(why, of) {
  const values = { leveler: nameOf(of), day: dayOf(of), chosen: nameOf(inHand()) };
  return say(`page.belonging.${why || "known"}`, values);
}

function nameOf({ leveler, name }) {
  return name || leveler || say("page.belonging.nobody");
}

function dayOf({ day }) {
  return day ? sayDate(day) : say("page.belonging.earlier");
}

function inHand() {
  const leveler = kept(LEVELER) ?? "";
  return { leveler, name: chosenLeveler()?.name ?? "" };
}

function ownKey(name, leveler) {
  return `sheet-of:${leveler}:${name}`;
}

/** Blank is a sheet that holds nothing but what the book or a leveler's row filled in. */
function isBlank(section) {
  const inLists = [...section.querySelectorAll("[data-rows] [data-input]")];
  return (
    singleFields(section).every(isUntouched) &&
    inLists.every((field) => fieldText(field) === startText(field)) &&
    ![...section.querySelectorAll("[data-row]")].some(isStruck)
  );
}

function isUntouched(field) {
  return (
    !nullBox(field)?.checked && (isAtStart(field) || Boolean(field.dataset.from?.startsWith("leveler:")))
  );
}
