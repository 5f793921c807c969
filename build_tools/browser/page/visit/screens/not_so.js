/** Something is not as the step says: one of the page's own reasons to stop, or another, in the person's words. */
import { bookPage, stopsOf } from "../shown/book_pages.js";
import { button, frame, line } from "../shown/frame.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function showNotSo(work) {
  const stops = stopsOf(await bookPage(work.screen.page), say("book.section.stop"));
  const note = element("textarea", { id: "ht-visit-note", rows: 3, className: "ht-visit-input" });
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
    await work.act({ ...act, note: note.value.trim() });
  };
  const goesOn = work.screen.can.includes("leave-open");
  frame(work.place, {
    kind: "not-so",
    title: say("page.visit.not-so.title"),
    body: [
      stops.length ? line(say("page.visit.not-so.stops")) : null,
      ...stops.map((stop, index) =>
        button("", () => work.act({ do: "not-so", stop_item: index, note: stop.textContent.trim() }), {
          className: "ht-visit-choice",
          textContent: stop.textContent.trim(),
        }),
      ),
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
