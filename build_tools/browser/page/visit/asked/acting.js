/** One act on a visit: Python says what it comes to, the log takes it, and only then is it told. */
import { askAbout } from "./asking.js";
import { localTime, newId } from "../kept/event_ids.js";

/** More events than any act comes to. */
const MOST_EVENTS = 40;

/**
 * @param {any} log
 * @param {{id: string, leveler: string, events: import("../kept/log.js").LogEvent[]}} visit its events are added to
 * @param {object} act as calculators/visiting.py takes it
 * @returns {Promise<{errors: {field: string, message: string}[], screen: any}>} what is wrong with the act, and nothing
 *   was written; or no errors, and the screen that follows. Throws a LogFault where the log did not take it.
 */
export async function actOn(log, visit, act) {
  const ids = Array.from({ length: MOST_EVENTS }, () => newId());
  const { append, screen, errors } = await askAbout("act", {
    events: visit.events,
    act,
    ids,
    now: localTime(),
  });
  if (errors) return { errors, screen: null };
  const last = visit.events.at(-1)?.seq ?? 0;
  if (append.length) visit.events.push(...(await log.append(visit.id, visit.leveler, append, last)));
  return { errors: [], screen };
}
