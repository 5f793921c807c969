/** What a page beside the steps does to a visit: the engine says what is written, the log writes it. */
import { localTime } from "./event_ids.js";

/**
 * Do an act in a visit.
 * @param {import("./choose.js").Tools} tools
 * @param {string} visit
 * @param {object} act as calculators/visiting.py takes it
 * @returns {Promise<{field: string, message: string}[]>} what is wrong with it; none where it was written
 */
export async function act(tools, visit, act) {
  const events = await tools.eventsOf(visit);
  const { errors, append } = await tools.ask("act", { events, act, now: localTime() });
  if (errors) return errors;
  await tools.append(visit, events[0].leveler, append, events.at(-1).seq);
  return [];
}

/** Ask about a visit where nothing of what a person typed can be wrong: an error is a fault of ours. @param {import("./choose.js").Tools} tools @param {string} what @param {object} data */
export async function asked(tools, what, data) {
  const answer = await tools.ask(what, data);
  if (answer.errors) throw new Error(answer.errors.map(({ message }) => message).join(" "));
  return answer;
}
