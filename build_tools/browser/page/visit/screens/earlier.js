/**
 * The screens that lie behind: read again, and what was entered there corrected. Nothing is undone by looking back.
 */
import { askAbout } from "../asked/asking.js";
import { bookPage, stepOf } from "../shown/book_pages.js";
import { fieldOf } from "./entries.js";
import { button, frame, line } from "../shown/frame.js";
import { sentence } from "../shown/shown.js";
import { numberedStep } from "../shown/step_words.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/**
 * Show the screen that was done last, or `back` screens before it.
 * @param {import("./working.js").Work} work
 * @param {number} [back]
 */
export async function showEarlier(work, back = 0) {
  const behind = work.events.filter(({ kind }) => kind === "done");
  const done = behind.at(-1 - back);
  if (!done) return;
  const { page: address, job, steps } = done.values;
  const page = await bookPage(address);
  const entered = (await entriesOf(work)).filter(
    (entry) => entry.job === job && steps.some(({ id }) => id === entry.step),
  );
  const told = steps.map(({ id }) => stepOf(page, id)).filter((step) => step !== null);
  frame(work.place, {
    kind: "earlier",
    title: say("page.visit.earlier"),
    body: [
      ...told.map(numberedStep),
      told.length ? null : line(say("page.visit.earlier.gone")),
      ...entered.map((entry) => enteredRow(work, entry)),
    ],
    acts: [
      behind.length > back + 1 ? button(say("page.visit.back"), () => showEarlier(work, back + 1)) : null,
      button(say("page.visit.earlier.return"), () => work.show(), {
        className: "ht-visit-act ht-visit-main",
      }),
    ],
  });
}

/** Everything that was entered so far, the newest first, each to be corrected. @param {import("./working.js").Work} work */
export async function showEntered(work) {
  const entered = (await entriesOf(work)).toReversed();
  frame(work.place, {
    kind: "entered",
    title: say("page.visit.entered"),
    body: entered.length
      ? entered.map((entry) => enteredRow(work, entry))
      : [line(say("page.visit.entered.none"))],
    acts: [
      button(say("page.visit.earlier.return"), () => work.go(`visit=${work.id}`), {
        className: "ht-visit-act ht-visit-main",
      }),
    ],
  });
}

async function entriesOf({ events }) {
  const { entries } = await askAbout("entries", { events });
  return entries ?? [];
}

function enteredRow(work, entry) {
  return element(
    "div",
    { className: "ht-visit-entered" },
    element("p", {}, `${sentence(entry.label)}: `, element("strong", {}, sentence(entry.shown))),
    entry.corrected ? line(say("page.visit.corrected"), { className: "ht-visit-from" }) : null,
    entry.entry && work.writes ? correctButton(work, entry) : null,
  );
}

function correctButton(work, entry) {
  const made = button(say("page.visit.correct"), () => correct(work, entry));
  made.setAttribute("aria-label", say("page.visit.correct.title", { label: sentence(entry.label) }));
  return made;
}

/** The correction is a new entry in the log, shown as one; what it corrects stays. */
function correct(work, { of, label, entry }) {
  const field = fieldOf(entry, undefined, () => {});
  const enter = async () => {
    const value = field.value();
    const errors =
      value === undefined ? [] : await work.act({ do: "correct", of, values: { [entry.ask]: value } });
    if (errors?.length) field.refuse(errors.map(({ message }) => message).join(" "));
  };
  frame(work.place, {
    kind: "correct",
    title: say("page.visit.correct.title", { label: sentence(label) }),
    body: [field.element, line(say("page.visit.correct.kept"), { className: "ht-visit-from" })],
    acts: [
      button(say("page.visit.back"), () => work.show()),
      button(say("page.visit.correct.enter"), enter, { className: "ht-visit-act ht-visit-main" }),
    ],
  });
  work.shownAt = performance.now();
}
