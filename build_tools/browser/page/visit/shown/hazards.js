/** The hazards of a screen: in full, or as one line that unfolds where it was read in full before in this visit. */
import { hazardOf } from "./book_pages.js";
import { element } from "../../shared/element.js";

/**
 * @param {{hazards?: {id: string, full: boolean}[]}} screen
 * @param {Document} page where the screen's steps stand
 * @returns {Promise<HTMLElement[]>}
 */
export async function hazardsOf({ hazards = [] }, page) {
  const shown = await Promise.all(
    hazards.map(async ({ id, full }) => {
      const message = await hazardOf(page, id);
      if (!message) return null;
      return full ? message : folded(message);
    }),
  );
  return shown.filter((message) => message !== null);
}

/** The signal word and the title stay in sight; what can happen and how to avoid it come with a tap. */
function folded(message) {
  const head = message.querySelector(".ht-hazard-head");
  const line = element("summary", {}, ...head.childNodes);
  head.remove();
  const details = element("details", { className: "ht-hazard-line" }, line, ...message.childNodes);
  message.replaceChildren(details);
  return message;
}
