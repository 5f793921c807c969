/** What is wrong with what was written, said beside it. */
import { LogFault } from "../kept/log.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** Where it is said what is wrong with what was written. */
export function problemLine() {
  return element("p", { className: "ht-visit-problem", role: "alert" });
}

/** True where an act was written; else what is wrong with it is said. @param {Promise<{message: string}[]>} acted @param {HTMLElement} problem */
export async function done(acted, problem) {
  const errors = await acted.catch(notKept);
  problem.textContent = errors.map(({ message }) => message).join(" ");
  return errors.length === 0;
}

/** The phone did not take it: said beside what was typed, which stays. @param {any} fault */
function notKept(fault) {
  if (!(fault instanceof LogFault)) throw fault;
  return [{ message: say(`page.visit.not-kept.${fault.code}`) }];
}
