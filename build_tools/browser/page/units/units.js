/**
 * The units that a reader has chosen, and conversions to and from those of the wire; build_tools/shown/units.py does the same.
 */
import { rounded } from "../shared/decimal_text.js";
import { keep, kept } from "../shared/kept.js";
import { TABLE } from "./unit_table.js";

const KEY = "units";
const DIGITS = 15;
const WIRE_DIGITS = 12; // fewer, so that a number comes back from any unit as it left

/** @type {string[]} What a reader chooses between; the first holds until somebody chooses. */
export const SYSTEMS = TABLE.systems;

let chosen = SYSTEMS.includes(kept(KEY)) ? kept(KEY) : SYSTEMS[0];
/** @type {Set<() => void>} */
const listeners = new Set();

export function chosenSystem() {
  return chosen;
}

/** Choose units for every sheet; the choice stays on the phone. */
export function chooseSystem(system) {
  if (!SYSTEMS.includes(system) || system === chosen) return;
  chosen = system;
  keep(KEY, system);
  for (const listener of listeners) listener();
}

/** Be told when other units are chosen. */
export function onSystem(listener) {
  listeners.add(listener);
}

/**
 * Of texts that the build wrote, one a system, the one for the chosen units.
 * @param {string} texts a JSON list
 */
export function ofSystem(texts) {
  return JSON.parse(texts)[SYSTEMS.indexOf(chosen)];
}

/** The unit in which a quantity is shown that travels as `unit`; those that all systems show alike stay. */
export function shownUnit(unit) {
  return TABLE.shown[unit]?.[SYSTEMS.indexOf(chosen)] ?? unit;
}

/** A number in `unit`, in the wire's own unit. */
export function toWire(value, unit) {
  const { times, over } = TABLE.units[unit];
  return rounded((value * times) / over, WIRE_DIGITS);
}

/** A number in the wire's own unit, in `unit`. */
export function fromWire(value, unit) {
  const { times, over } = TABLE.units[unit];
  return rounded((value * over) / times, DIGITS);
}

/** True where `unit` is one of a quantity that travels as `wireUnit`. */
export function isUnitOf(unit, wireUnit) {
  return TABLE.units[unit]?.of === wireUnit;
}

/** The units that stand in sentences, the longest first, and what each is told as in the chosen units. */
export const TOLD = Object.keys(TABLE.told).sort((a, b) => b.length - a.length);

/** @returns {string} the unit itself where sentences need no change */
export function toldUnit(unit) {
  return chosen === SYSTEMS[0] ? unit : (TABLE.told[unit] ?? unit);
}

/**
 * The chosen units in place of those of the SI, by the name of that one: their name, and their size in it.
 * @returns {Record<string, [string, number]>}
 */
export function axisUnits() {
  const told = Object.entries(TABLE.told).filter(([unit]) => toldUnit(unit) !== unit);
  return Object.fromEntries(told.map(([unit, other]) => [unit, [other, toWire(1, other) / toWire(1, unit)]]));
}
