/** What the pages beside the steps ask of the engine, and what they do to a visit. */
import { actOn } from "./acting.js";

/**
 * Ask about a visit where nothing that a person typed can be wrong: an error is a fault of ours.
 * @param {import("../pages/choose.js").Tools} tools
 * @param {string} what
 * @param {object} data
 */
export async function asked(tools, what, data) {
  const answer = await tools.ask(what, data);
  if (answer.errors) throw new Error(answer.errors.map(({ message }) => message).join(" "));
  return answer;
}

/**
 * Do an act in a visit that is not on the screen.
 * @param {import("../pages/choose.js").Tools} tools
 * @param {string} visit
 * @param {object} act as calculators/visiting.py takes it
 * @returns {Promise<{field: string, message: string}[]>} what is wrong with it; none where it was written
 */
export async function act(tools, visit, act) {
  const events = await tools.eventsOf(visit);
  const { errors } = await actOn(tools.log, { id: visit, leveler: events[0].leveler, events }, act);
  return errors;
}
