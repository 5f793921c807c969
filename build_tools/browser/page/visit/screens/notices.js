/** What stands in the way of writing a visit down, told on the screen that it happened on: nothing typed is lost. */
import { button } from "../shown/frame.js";
import { LogFault } from "../kept/log.js";
import { localTime } from "../kept/event_ids.js";
import { save, visitFile } from "../files/files.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/**
 * Tell a fault on the present screen, and offer the visit as a file where the phone takes no more of it.
 * @param {import("./working.js").Work} work
 * @param {any} fault
 */
export function noticeOf(work, fault) {
  const isLog = fault instanceof LogFault;
  const code = isLog ? `page.visit.not-kept.${fault.code}` : "page.visit.no-answer";
  const notice = element("div", { className: "ht-visit-notice", role: "alert" }, element("p", {}, say(code)));
  if (isLog) notice.append(button(say("page.visit.save-file"), () => saveVisit(work)));
  if (!isLog && fault.report) notice.append(element("p", {}, say("page.fault", { report: fault.report })));
  put(work.place, notice);
}

/** The visit as it stands in the log, as a file. @param {{events: import("../kept/log.js").LogEvent[]}} visit */
async function saveVisit({ events }) {
  const { edition, device } = events.at(-1);
  save(await visitFile(events, { edition, device, made: localTime() }));
}

/** Say a sentence on the present screen. @param {HTMLElement} place @param {string} text */
export function tell(place, text) {
  put(place, element("div", { className: "ht-visit-notice", role: "alert" }, element("p", {}, text)));
}

/** Above the acts, where the eye and the thumb are. */
function put(place, notice) {
  place.querySelector(".ht-visit-notice")?.remove();
  const acts = place.querySelector(".ht-visit-acts");
  if (acts) acts.before(notice);
  else place.append(notice);
}
