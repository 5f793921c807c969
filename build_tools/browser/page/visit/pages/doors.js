/** The doors that a visit can be opened at: the company's registers, and those that were written in on this phone. */
import { forget, keep, kept } from "../../shared/kept.js";
import { say } from "../../shared/words.js";

const WRITTEN_IN = "visit:doors";
const WITHOUT_DEMO = "visit:without-demo";

/**
 * @typedef {object} Door
 * @property {string} id the leveler's stable id
 * @property {string} customer name
 * @property {string} address of the site, "" where nobody wrote it
 * @property {string} gate "" where there is none
 * @property {string} door as it stands on the door
 * @property {string} leveler id of the leveler's class, "" where nobody knows it
 * @property {boolean} [demo] an invented one
 * @property {boolean} [written] written in on this phone
 */

/** Every door, as the register lists them, then those written in. @param {any} plan @returns {Door[]} */
export function allDoors(plan) {
  const listed = (plan.customers ?? []).filter(({ demo }) => !(demo && demoIsPutAway()));
  return [...listed.flatMap(doorsOf), ...writtenIn()];
}

function doorsOf({ name, demo, site, doors }) {
  const place = { customer: name, address: site?.address ?? "", gate: site?.gate ?? "" };
  return doors.map(({ id, door, leveler }) => ({
    id,
    ...place,
    door,
    leveler,
    ...(demo && { demo: true }),
  }));
}

/** @returns {Door[]} */
function writtenIn() {
  return kept(WRITTEN_IN) ?? [];
}

/** Keep a door that the register has not, so that the next visit finds it. @param {Door} door */
export function writeIn(door) {
  keep(WRITTEN_IN, [...writtenIn().filter(({ id }) => id !== door.id), door]);
}

/** True where the invented customers are not shown on this phone. */
export function demoIsPutAway() {
  return kept(WITHOUT_DEMO) === true;
}

/** @param {boolean} away */
export function putDemoAway(away) {
  if (away) keep(WITHOUT_DEMO, true);
  else forget(WITHOUT_DEMO);
}

/** True where the book has invented customers at all. @param {any} plan */
export function hasDemo(plan) {
  return (plan.customers ?? []).some(({ demo }) => demo);
}

/** The name of a place in one line: customer, then door. @param {{customer: string, door: string}} door */
export function placeName({ customer, door }) {
  return say("page.visit.place", { customer, door });
}
