/** Something is not as the step says: one of the page's own reasons to stop, or another, in the person's words. */
import { bookPage, listedUnder } from "../shown/book_pages.js";
import { keptField } from "../kept/draft.js";
import { button, frame, line } from "../shown/frame.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function showNotSo(work) {
  const stops = listedUnder(await bookPage(work.screen.page), say("book.section.stop"));
  const { field: note, forget } = keptField(
    element("textarea", { id: "ht-visit-note", rows: 3, className: "ht-visit-input" }),
    work.id,
    "not-so",
  );
  const label = element(
    "label",
    { htmlFor: note.id, className: "ht-visit-label" },
    say("page.visit.not-so.other"),
  );
  const by = element("input", { id: "ht-visit-by", type: "date", className: "ht-visit-input" });
  const until = element(
    "label",
    { htmlFor: by.id, className: "ht-visit-label" },
    say("page.visit.not-so.by"),
  );
  const keep = () =>
    enter({ do: "not-so", stop_item: null, keep: true, ...(by.value ? { by: by.value } : {}) })();
  const enter = (act) => async () => {
    if (!note.value.trim()) return note.focus();
    if ((await work.act({ ...act, note: note.value.trim() }))?.length === 0) forget();
  };
  const { choices, stop } = stopsPart(work, stops);
  const goesOn = work.screen.can.includes("leave-open");
  frame(work.place, {
    kind: "not-so",
    title: say("page.visit.not-so.title"),
    body: [
      stops.length ? line(say("page.visit.not-so.stops")) : null,
      ...choices,
      stop,
      label,
      note,
      until,
      by,
    ],
    acts: [
      button(say("page.visit.back"), () => work.show()),
      goesOn ? button(say("page.visit.not-so.leave-open"), enter({ do: "leave-open" })) : null,
      button(say("page.visit.not-so.keep"), keep),
      button(say("page.visit.not-so.enter"), enter({ do: "not-so", stop_item: null }), {
        className: "ht-visit-act ht-visit-main",
      }),
    ],
  });
  work.shownAt = performance.now();
}

/** The page's own reasons to stop: one is chosen, and stopping is a tap of its own, since nothing takes a stop back. */
function stopsPart(work, stops) {
  const stop = button(
    say("page.visit.not-so.stop"),
    () => {
      const at = choices.findIndex(isChosen);
      return work.act({ do: "not-so", stop_item: at, note: choices[at].textContent });
    },
    { hidden: true, dataset: { act: "stop" } },
  );
  const choices = stops.map((told) => {
    const choice = button(told.textContent.trim(), () => choose(choice), { className: "ht-visit-choice" });
    choice.setAttribute("aria-pressed", "false");
    return choice;
  });
  const choose = (chosen) => {
    choices.forEach((each) => each.setAttribute("aria-pressed", String(each === chosen)));
    stop.hidden = false;
    stop.scrollIntoView({ block: "nearest" });
  };
  return { choices, stop };
}

const isChosen = (/** @type {HTMLElement} */ choice) => choice.getAttribute("aria-pressed") === "true";
