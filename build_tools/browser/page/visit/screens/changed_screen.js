/** What a new edition changed of the jobs of this visit: read before it goes on. */
import { actsOf, mainButton } from "./acts.js";
import { bookPage, stepOf } from "../shown/book_pages.js";
import { line } from "../shown/frame.js";
import { numberedStep } from "../shown/step_words.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function changedScreen(work) {
  const rows = await Promise.all(work.screen.changed.map(changedRow));
  return {
    title: say("page.visit.changed"),
    body: [line(say("page.visit.changed.why")), ...rows],
    acts: actsOf(
      work,
      mainButton(say("page.visit.changed.read"), () => work.act({ do: "go-on" })),
    ),
  };
}

/** A step that is new, says something else now, or is no longer there. */
async function changedRow({ what, page: address, step: id }) {
  const page = await bookPage(address);
  const step = stepOf(page, id);
  const title = page.querySelector("h1")?.textContent.trim() ?? "";
  return element(
    "section",
    { className: "ht-visit-entered" },
    line(say(`page.visit.changed.${what}`, { title, step: step?.number ?? id }), {
      className: "ht-visit-label",
    }),
    step ? numberedStep(step) : null,
  );
}
