/**
 * Leave: as found and as left side by side, what stays open, what comes next, and then the close.
 * A closed visit is read here too; what is put right then is an entry of its own.
 */
import { act, asked } from "../asked/asked.js";
import { spoken } from "../shown/days.js";
import { withEarlier } from "../asked/digests.js";
import { keptField } from "../kept/draft.js";
import { element } from "../../shared/element.js";
import { frame } from "../shown/frame.js";
import { locksPart } from "./locks.js";
import { button, facts, labeled, leftOpen, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { done, problemLine } from "../shown/problems.js";
import { say, sayDate } from "../../shared/words.js";

/** @param {HTMLElement} place @param {string} visit @param {import("./choose.js").Tools} tools */
export async function showLeave(place, visit, tools) {
  const left = await asked(tools, "leave", await withEarlier(tools, visit));
  const again = () => showLeave(place, visit, tools);
  const { closed } = left;
  frame(place, {
    kind: "leave",
    title: say(closed ? "page.visit.leave.closed-title" : "page.visit.leave.title", left.head),
    body: [
      closed ? closedLine(closed, left.kept_in_use) : goBack(visit),
      headPart(left.head),
      section("compared", say("page.visit.leave.compared"), comparedTable(left.rows, tools.told)),
      toldPart("verdicts", say("page.visit.leave.verdicts"), left.verdicts, tools.told),
      openPart(left.open, tools.told),
      duePart(left.due, tools.told),
      closed && !left.locks.length
        ? null
        : locksPart(left.locks, { tools, visit, again, closed: Boolean(closed) }),
      adviceline(left.kept_in_use, { tools, visit, again, closed: Boolean(closed) }),
      closed ? afterPart(visit) : closePart(left, { tools, visit, again }),
      paragraph(lineLink(`#entries=${visit}`, say("page.visit.leave.correct"))),
    ],
  });
}

function goBack(visit) {
  return paragraph(lineLink(`#visit=${visit}`, say("page.visit.leave.back")));
}

/** @param {{at: string, how: string, why: string, signed: string}} closed */
function closedLine({ at, how, why, signed }, kept) {
  const said = say(`page.visit.leave.closed.${howLeft(how, kept)}`, { ...spoken(at), signed });
  return element(
    "div",
    { className: "ht-visit-notice", dataset: { part: "closed" } },
    paragraph(said),
    why ? paragraph(why) : null,
  );
}

/** How a leveler was left: nobody says that it is out of service where the customer uses it all the same. */
export function howLeft(how, kept) {
  return kept && how === "out-of-service" ? "advised-closed" : how;
}

function inWords(said) {
  return said && say("page.visit.begin.said", { said });
}

/** @param {any} head */
export function headPart(head) {
  return facts([
    [say("page.visit.begin.customer"), head.customer],
    [say("page.visit.begin.address"), [head.site?.address, head.site?.gate].filter(Boolean).join(" · ")],
    [say("page.visit.begin.door"), [head.door, head.class].filter(Boolean).join(", ")],
    [say("page.visit.begin.asked"), [head.asked_for, inWords(head.in_words)].filter(Boolean).join(": ")],
    [
      say("page.visit.begin.technician"),
      [head.technician, ...(head.helpers ?? [])].filter(Boolean).join(", "),
    ],
    [say("page.visit.leave.day"), say("page.visit.leave.day-hour", spoken(head.opened))],
  ]);
}

/**
 * As found and as left, side by side; on a narrow screen or with large letters one under the other.
 * @param {{label: any, found: any, left: any}[]} rows
 * @param {(sentence: any) => string} told
 */
export function comparedTable(rows, told) {
  const words = [say("page.visit.leave.found"), say("page.visit.leave.left")];
  const cell = (sentence, label) =>
    element("td", { dataset: { label } }, sentence ? told(sentence) : say("page.visit.leave.not-seen"));
  return element(
    "table",
    { className: "ht-visit-compared" },
    element(
      "thead",
      {},
      element("tr", {}, element("td", {}), ...words.map((word) => element("th", { scope: "col" }, word))),
    ),
    element(
      "tbody",
      {},
      ...rows.map(({ label, found, left }) =>
        element(
          "tr",
          {},
          element("th", { scope: "row" }, told(label)),
          cell(found, words[0]),
          cell(left, words[1]),
        ),
      ),
    ),
  );
}

/** Sentences under a heading, nothing where there are none. @param {string} part @param {string} heading @param {any[]} sentences @param {(sentence: any) => string} told */
export function toldPart(part, heading, sentences, told) {
  if (!sentences?.length) return null;
  const lines = sentences.map((sentence) => element("li", {}, told(sentence)));
  return section(part, heading, element("ul", {}, ...lines));
}

/** @param {{what: any, by: string | null}[]} open @param {(sentence: any) => string} told */
export function openPart(open, told) {
  const heading = say("page.visit.leave.open");
  if (!open.length) return section("open", heading, paragraph(say("page.visit.leave.nothing-open")));
  const lines = open.map(({ what, by }) => {
    const until = by ? say("page.visit.leave.open-by", { what: told(what), day: sayDate(by) }) : told(what);
    return element("li", {}, leftOpen(until));
  });
  return section("open", heading, element("ul", { className: "ht-visit-still-open" }, ...lines));
}

/** @param {{job: any, on: string, why: any}[]} due @param {(sentence: any) => string} told */
export function duePart(due, told) {
  if (!due.length) return null;
  const lines = due.map(({ job, on, why }) =>
    element(
      "li",
      {},
      element("b", {}, say("page.visit.list.due-on", { job: told(job), day: sayDate(on) })),
      why ? ` ${told(why)}` : null,
    ),
  );
  return section("due", say("page.visit.leave.due"), element("ul", {}, ...lines));
}

/** The customer keeps the door in use against advice: who said so, and when. */
function adviceline(kept, { tools, visit, again, closed }) {
  if (kept) {
    const said = say("page.visit.leave.kept-in-use", { name: kept.name, ...spoken(kept.at) });
    return element("div", { className: "ht-visit-notice", dataset: { part: "kept-in-use" } }, leftOpen(said));
  }
  if (closed) return null;
  const name = element("input", { maxLength: 80, autocomplete: "off", dataset: { field: "kept-in-use" } });
  const problem = problemLine();
  const write = async () => {
    if (await done(act(tools, visit, { do: "kept-in-use", name: name.value.trim() }), problem)) await again();
  };
  return element(
    "details",
    { className: "ht-visit-more", dataset: { part: "kept-in-use" } },
    element("summary", {}, say("page.visit.leave.keeps-using")),
    paragraph(say("page.visit.leave.keeps-using-what")),
    labeled(say("page.visit.leave.who-says"), name),
    problem,
    button(say("page.visit.write"), write, { dataset: { act: "kept-in-use" } }),
  );
}

function closePart({ may_close, head, stopped, kept_in_use }, { tools, visit, again }) {
  const missing = may_close["closing-cycle"];
  const name = element("input", { maxLength: 80, autocomplete: "name", dataset: { field: "signed" } });
  name.value = head.technician ?? "";
  const problem = problemLine();
  const close = async (how, why) => {
    const signed = name.value.trim();
    const isClosed = await done(act(tools, visit, { do: "close", how, why, signed }), problem);
    if (isClosed) await again();
    return isClosed;
  };
  return section(
    "close",
    say("page.visit.leave.close"),
    labeled(say("page.visit.leave.signed"), name),
    missing.length ? missingPart(missing, tools.told) : null,
    problem,
    missing.length
      ? null
      : button(say("page.visit.leave.close-now"), () => close("closing-cycle", ""), {
          className: "ht-main-action",
          dataset: { act: "close" },
        }),
    nothingMovedPart(may_close, close),
    outOfServicePart(may_close["out-of-service"], close, {
      visit,
      told: tools.told,
      stopped,
      kept: kept_in_use,
    }),
  );
}

/** A visit that only looked needs no closing cycle: nothing was moved that one would prove. */
function nothingMovedPart(may_close, close) {
  if (!may_close["closing-cycle"].length || may_close["nothing-moved"].length) return null;
  return button(say("page.visit.leave.nothing-moved"), () => close("nothing-moved", ""), {
    dataset: { act: "nothing-moved" },
  });
}

function missingPart(missing, told) {
  const lines = missing.map((sentence) => element("li", {}, leftOpen(told(sentence))));
  return element(
    "div",
    { dataset: { part: "missing" } },
    paragraph(say("page.visit.leave.not-yet")),
    element("ul", { className: "ht-visit-still-open" }, ...lines),
  );
}

/** Left out of service, and why: always possible where the engine has nothing against it, open after a stop. */
function outOfServicePart(missing, close, { visit, told, stopped, kept }) {
  const asked = element("textarea", { rows: 2, maxLength: 400, dataset: { field: "why" } });
  if (stopped) asked.value = told(stopped);
  const { field: why, forget } = keptField(asked, visit, "why");
  const problem = problemLine();
  const act = async () => {
    if (why.value.trim()) return void ((await close("out-of-service", why.value.trim())) && forget());
    problem.textContent = say("page.visit.leave.why-missing");
    return why.focus();
  };
  return element(
    "details",
    { className: "ht-visit-more", open: Boolean(stopped), dataset: { part: "out-of-service" } },
    element("summary", {}, say("page.visit.leave.out-of-service")),
    ...(missing.length
      ? [missingPart(missing, told)]
      : [
          kept ? null : paragraph(say("page.visit.leave.out-of-service-what")),
          labeled(say("page.visit.leave.why"), why),
          problem,
          button(say("page.visit.leave.leave-closed"), act, { dataset: { act: "out-of-service" } }),
        ]),
  );
}

function afterPart(visit) {
  return section(
    "after",
    say("page.visit.leave.after"),
    paragraph(lineLink(`#report=${visit}`, say("page.visit.leave.report"))),
    paragraph(lineLink(`#files=${visit}`, say("page.visit.leave.files"))),
    paragraph(lineLink("#", say("page.visit.leave.all"))),
  );
}
