/** The steps that are worked without a look at the phone between them: mostly one, with what it asks for. */
import { bookPage, drawingsOf, stepOf } from "./book_pages.js";
import { draftOf, keepDraft } from "./draft.js";
import { showEarlier } from "./earlier.js";
import { fieldOf, isOneTap } from "./entries.js";
import { button } from "./frame.js";
import { hazardsOf } from "./hazards.js";
import { showNotSo } from "./not_so.js";
import { sentence } from "./shown.js";
import { ledgerOf, orderOf } from "./turns.js";
import { hasEnoughRuns, runsOf } from "./visit_runs.js";
import { element } from "../shared/element.js";
import { say } from "../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function stepsScreen(work) {
  const { screen } = work;
  const page = await bookPage(screen.page);
  const steps = screen.steps.map((id) => stepOf(page, id)).filter((step) => step !== null);
  const asked = (screen.entries ?? []).filter(({ ask }) => ask !== "runs" && ask !== "half-turn");
  const form = formOf(work, asked);
  const drawings = screen.steps.flatMap((id) => drawingsOf(page, id));
  const timed = await runsOf(work, page);
  return {
    title: titleOf(screen, steps),
    body: [
      ...(await hazardsOf(screen, page)),
      ...steps.map(({ number, parts }) => stepElement(number, parts, steps.length > 1)),
      orderOf(screen),
      ...(screen.shown ?? []).map((shown) => element("p", { className: "ht-visit-shown" }, sentence(shown))),
      ledgerOf(screen),
      ...drawings,
      ...form.fields.map((field) => field.element),
      timed?.list,
      timed?.dialog,
    ],
    acts: actsOf(work, form, timed),
  };
}

function titleOf({ title }, steps) {
  const [first, last] = [steps[0]?.number, steps.at(-1)?.number];
  if (!first) return title;
  return steps.length === 1
    ? say("page.visit.step", { title, number: first })
    : say("page.visit.steps", { title, first, last });
}

function stepElement(number, parts, isOfMany) {
  const words = element("div", { className: "ht-visit-words" }, ...parts);
  if (!isOfMany) return words;
  return element(
    "div",
    { className: "ht-visit-step-row" },
    element("span", { className: "ht-visit-number" }, number),
    words,
  );
}

/** The entries of the screen, what was typed in them before, and the way to send them. */
function formOf(work, asked) {
  const before = draftOf(work.id, work.screen);
  const oneTap = isOneTap(asked);
  const form = { fields: [], oneTap, done: () => done(work, form) };
  const changed = () => {
    keepDraft(work.id, work.screen, Object.fromEntries(form.fields.map(({ key, kept }) => [key, kept()])));
    if (oneTap) void form.done();
  };
  form.fields = asked.map((entry) => fieldOf(entry, before[entry.ask], changed));
  return form;
}

/** Enter what stands in the fields, and go on; what is wrong is said at its field. */
async function done(work, form) {
  const entries = Object.fromEntries(
    form.fields.map(({ key, value }) => [key, value()]).filter(([, value]) => value !== undefined),
  );
  const errors = await work.act({ do: "done", entries });
  for (const field of form.fields) field.refuse("");
  let elsewhere = "";
  for (const { field: name, message } of errors ?? []) {
    const field = form.fields.find(({ key }) => name === key || name.startsWith(key));
    if (field) field.refuse(message);
    else elsewhere += `${message} `;
  }
  if (elsewhere) work.tell(elsewhere.trim());
  if (errors?.length)
    form.fields.find(({ element: place }) => place.querySelector(".ht-visit-error:not([hidden])"))?.focus();
}

function actsOf(work, form, timed) {
  const { can = [], order } = work.screen;
  const mainText = order ? say(`page.visit.turned.${order.direction}`) : say("page.visit.done");
  return [
    can.includes("back") ? button(say("page.visit.back"), () => showEarlier(work)) : null,
    can.includes("not-so") ? button(say("page.visit.not-so"), () => showNotSo(work)) : null,
    timed?.opener ?? null,
    can.includes("done") && !form.oneTap && !(timed && !hasEnoughRuns(work.screen))
      ? button(mainText, form.done, { className: "ht-visit-act ht-visit-main" })
      : null,
  ];
}
