/** The steps that are worked without a look at the phone between them: mostly one, with what it asks for. */
import { actsOf, mainButton } from "./acts.js";
import { bookPage, drawingsOf, listedUnder, stepOf } from "../shown/book_pages.js";
import { draftOf, keepDraft } from "../kept/draft.js";
import { fieldOf, oneTapOf } from "./entries.js";
import { hazardsOf } from "../shown/hazards.js";
import { sentence } from "../shown/shown.js";
import { loneStep, numberedStep } from "../shown/step_words.js";
import { repliedOf } from "./path_screen.js";
import { ledgerOf, orderOf } from "./turns.js";
import { hasEnoughRuns, runsOf } from "./visit_runs.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function stepsScreen(work) {
  const { screen } = work;
  const page = await bookPage(screen.page);
  const steps = screen.steps.map((id) => stepOf(page, id, waysOf(work))).filter((step) => step !== null);
  const form = formOf(work, screen.entries);
  const drawings = screen.steps.flatMap((id) => drawingsOf(page, id));
  const timed = await runsOf(work, page, waysOf(work), form.done);
  return {
    title: titleOf(screen, steps),
    body: [
      await repliedOf(screen),
      ...(screen.shown ?? []).map((shown) => element("p", { className: "ht-visit-shown" }, sentence(shown))),
      ...(await hazardsOf(screen, page)),
      orderOf(work),
      beforeOf(work, page),
      ...(await notesOf(screen)),
      ...steps.map(steps.length > 1 ? numberedStep : loneStep),
      ledgerOf(screen),
      ...drawings,
      element("div", { className: "ht-visit-entries" }, ...form.fields.map((field) => field.element)),
      timed?.list,
      timed?.dialog,
    ],
    acts: actsOf(work, ...mainActs(work, form, timed)),
  };
}

/** What the page wants before its first step, at a tap on the screen of that step. */
function beforeOf({ screen, tools }, page) {
  if (!screen.steps.includes(tools.plan.jobs[screen.job]?.steps?.[0])) return null;
  const title = say("book.section.before");
  const wanted = listedUnder(page, title);
  if (!wanted.length) return null;
  const items = wanted.map((item) => element("li", {}, ...item.childNodes));
  return element(
    "details",
    { className: "ht-visit-more", dataset: { part: "before" } },
    element("summary", {}, title),
    element("ul", {}, ...items),
  );
}

/** What the steps in whose stead this job is worked say besides: "a plain post is not enough here". */
async function notesOf({ stands_for: steps = [] }) {
  const found = [];
  for (const { page, step } of steps) {
    const parts = stepOf(await bookPage(page), step)?.parts ?? [];
    const notes = parts.filter((part) => part.matches(".ht-step-note"));
    if (notes.length) found.push(element("div", { className: "ht-visit-words" }, ...notes));
  }
  return found;
}

/** The ways in which this leveler does what levelers do in several. */
function waysOf({ events, tools }) {
  return tools.plan.levelers[events[0].values.leveler_class]?.ways ?? [];
}

function titleOf({ title }, steps) {
  const [first, last] = [steps[0]?.number, steps.at(-1)?.number];
  if (!first) return title;
  return steps.length === 1
    ? say("page.visit.step", { title, number: first })
    : say("page.visit.steps", { title, first, last });
}

/** The entries of the screen, what was typed in them before, and the way to send them. */
function formOf(work, asked) {
  const before = draftOf(work.id, work.screen);
  const oneTap = oneTapOf(asked);
  const form = { fields: [], oneTap, done: () => done(work, form) };
  const changed = ({ entry }) => {
    keepDraft(work.id, work.screen, Object.fromEntries(form.fields.map(({ key, kept }) => [key, kept()])));
    if (entry === oneTap) void form.done();
  };
  // A tap that ends the screen comes below what may be typed before it.
  const ordered = [...asked.filter((entry) => entry !== oneTap), ...(oneTap ? [oneTap] : [])];
  form.fields = ordered.map((entry) => fieldOf(entry, before[entry.ask], changed));
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
    const field = form.fields.find(({ key }) => name === key);
    if (field) field.refuse(message);
    else elsewhere += `${message} `;
  }
  if (elsewhere) work.tell(elsewhere.trim());
  form.fields.find(({ isRefused }) => isRefused())?.focus();
}

function mainActs(work, form, timed) {
  const { can, order } = work.screen;
  const text = order ? say(`page.visit.turned.${order.direction}`) : say("page.visit.done");
  const waits = form.oneTap || (timed && !hasEnoughRuns(work.screen));
  return [timed?.opener ?? null, can.includes("done") && !waits ? mainButton(text, form.done) : null];
}
