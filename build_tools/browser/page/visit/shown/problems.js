/** What is wrong with what was written, said beside it. */
import { element } from "../../shared/element.js";

/** Where it is said what is wrong with what was written. */
export function problemLine() {
  return element("p", { className: "ht-visit-problem", role: "alert" });
}

/** True where an act was written; else what is wrong with it is said. @param {Promise<{message: string}[]>} acted @param {HTMLElement} problem */
export async function done(acted, problem) {
  const errors = await acted;
  problem.textContent = errors.map(({ message }) => message).join(" ");
  return errors.length === 0;
}
