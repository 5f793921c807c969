/**
 * What the chosen leveler's own manual says about the fields of a work sheet.
 */
import { hasUnits, inUnit, isAtStart, setFieldText, startText } from "./entry.js";
import { singleFields } from "./sheet_store.js";
import { ofSystem } from "../units/units.js";
import { say } from "../shared/words.js";

/**
 * @typedef {object} Leveler
 * @property {string} id
 * @property {string} name
 * @property {string} makerNote
 * @property {{threadHand: string, seenFrom: string, see: string} | null} adjustingNut
 * @property {Record<string, string>} ways the way it has of each thing, such as {lip: "lip-by-hand"}
 * @property {Record<string, {text: string, where: string}>} own its own values of the book's figures, by figure
 * @property {Record<string, {text: string, basis: string, where: string}>} figures by input name
 */

/** The name under which the id of the leveler in hand is kept. */
export const LEVELER = "leveler";

/** @type {Leveler | null} */
let chosen = null;

export function chosenLeveler() {
  return chosen;
}

export function setChosenLeveler(leveler) {
  chosen = leveler;
}

/**
 * Fill the fields that the leveler's row knows. What a person wrote by hand stays; what an earlier leveler filled goes.
 * @param {HTMLElement} section
 * @param {Leveler | null} leveler
 */
export function fillFromLeveler(section, leveler) {
  for (const field of singleFields(section)) {
    const figure = leveler?.figures[field.dataset.input];
    const fromLeveler = field.dataset.from?.startsWith("leveler:");
    if (figure && figure.basis !== "common practice" && isFree(field)) {
      setFieldText(field, figure.text);
      field.dataset.from = `leveler:${leveler.id}`;
    } else if ((fromLeveler && !figure) || isOfferOfAnother(section, field)) {
      setFieldText(field, startText(field));
      delete field.dataset.from;
    }
  }
}

/**
 * Whether the book's figure may be offered to the leveler in hand: some hold for one way of a thing alone.
 * @param {HTMLElement} section
 * @param {string} figure its id
 */
export function mayBeOffered(section, figure) {
  const place = section.querySelector(`[data-not-offered="${figure}"]`);
  const way = place && chosen?.ways[place.dataset.wayOf];
  return !way || way === place.dataset.holdsFor;
}

/** Say in place of each offer that does not hold for the leveler in hand why it is not made. */
export function showNotOffered(section) {
  for (const place of section.querySelectorAll("[data-not-offered]")) {
    place.hidden = mayBeOffered(section, place.dataset.notOffered);
    const values = { way: place.dataset.label, leveler: chosen?.name ?? "" };
    place.textContent = place.hidden ? "" : say("page.offer.not", values);
  }
}

/** A field is free where nobody typed into it: it holds the book's figure, an offer taken, or another leveler's. */
function isFree(field) {
  return Boolean(field.dataset.from) || isAtStart(field);
}

/** A figure of the book that was taken for a leveler of another way goes with it. */
function isOfferOfAnother(section, field) {
  const [kind, figure] = (field.dataset.from ?? "").split(":");
  return kind === "figure" && !mayBeOffered(section, figure);
}

/** Say where a field's value comes from, or what the leveler's row says beside a value typed by hand. */
export function levelerNote(field) {
  const figure = chosen?.figures[field.dataset.input];
  if (!figure || field.closest("[data-rows]")) return "";
  const values = { leveler: chosen.name, number: figureText(field, figure.text), where: figure.where };
  const code =
    field.dataset.from === `leveler:${chosen.id}` ? "page.origin.leveler" : "page.origin.leveler-says";
  return say(`${code}.${figure.basis.replaceAll("'", "").replaceAll(" ", "-")}`, values);
}

/** A figure as it is told beside a field: a quantity in the chosen units, with its unit. */
function figureText(field, text) {
  if (!hasUnits(field)) return text;
  const unit = ofSystem(field.dataset.units);
  return `${inUnit(text, field.dataset.wireUnit, unit)} ${unit}`;
}
