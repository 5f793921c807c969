/**
 * The site and the door of the leveler in hand, for the page "somebody is caught": it is read out to those who come.
 * It is one place with the day on which it was chosen, never a list, and always to be checked.
 */
import { keep } from "../../shared/kept.js";

const NAME = "place-in-hand";

/** @param {import("../pages/doors.js").Door} door @param {string} day as 2026-11-30 */
export function setPlaceInHand({ customer, address, gate, door }, day) {
  keep(NAME, { customer, address, gate, door, day });
}
