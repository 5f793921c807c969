/**
 * What Python decides of a visit: the screen, what an act leads to, what a visit has come to.
 *
 * The plan goes to Python as text, so that it is read there once and not at every act.
 */
import { askVisit } from "../../runtime/runtime.js";
import { scope } from "../../shared/place.js";

/** @type {Promise<string> | null} */
let planText = null;

/** The book's plan of jobs and sequences; rejects where it is not kept and no network answers. @returns {Promise<string>} */
function readPlan() {
  planText ??= fetch(new URL("half-turn/visit_plan.json", scope)).then((answer) => {
    if (!answer.ok) throw new Error(`${answer.status} for the plan`);
    return answer.text();
  });
  planText.catch(() => (planText = null));
  return planText;
}

/** @returns {Promise<any>} */
export async function plan() {
  return JSON.parse(await readPlan());
}

/**
 * Ask about a visit.
 * @param {string} what "screen", "act", "entries", "leave", "digest", "report" or "history"
 * @param {object} data as calculators/visiting.py takes it, but for the plan
 * @returns {Promise<any>} the answer, or {errors: [...]}; rejects with a RuntimeFault
 */
export async function askAbout(what, data) {
  const text = JSON.stringify({ plan: await readPlan(), ...data });
  return JSON.parse(await askVisit(what, text));
}
