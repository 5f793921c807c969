/** The report for the customer: one page of paper in the company's words, printed or saved by the browser. */
import { asked } from "../asked/asked.js";
import { drawAnswer } from "../shown/answer_picture.js";
import { hazardOf, bookPage } from "../shown/book_pages.js";
import { spoken } from "../shown/days.js";
import { withEarlier } from "../asked/digests.js";
import { element } from "../../shared/element.js";
import { frame } from "../shown/frame.js";
import { comparedTable, duePart, headPart, howLeft, openPart, toldPart } from "./leave.js";
import { button, leftOpen, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { say } from "../../shared/words.js";

/** @param {HTMLElement} place @param {string} visit @param {import("./choose.js").Tools} tools */
export async function showReport(place, visit, tools) {
  const report = await asked(tools, "report", await withEarlier(tools, visit));
  const picture = element("figure", {
    className: "ht-visit-fold",
    hidden: true,
    dataset: { part: "picture" },
  });
  const title = document.title;
  frame(place, {
    kind: "report",
    title: say("page.visit.report.title", report.head),
    body: [
      element("p", { className: "ht-visit-company" }, company()),
      headPart(report.head),
      adviceLine(report.kept_in_use),
      section("compared", say("page.visit.leave.compared"), comparedTable(report.rows, tools.told)),
      toldPart("verdicts", say("page.visit.leave.verdicts"), report.verdicts, tools.told),
      toldPart("did", say("page.visit.report.did"), report.did, tools.told),
      picture,
      openPart(report.open, tools.told),
      await cautionsPart(report.cautions),
      duePart(report.due, tools.told),
      toldPart(
        "corrections",
        say("page.visit.report.corrections"),
        report.corrections.map(({ text }) => text),
        tools.told,
      ),
      signedPart(report.closed, report.kept_in_use),
      paragraph(lineLink(`#leave=${visit}`, say("page.visit.report.record"))),
    ],
    acts: [
      button(say("page.visit.report.print"), () => print(), {
        className: "ht-visit-act",
        dataset: { act: "print" },
      }),
    ],
  });
  nameOnPaper(report, title);
  if (report.picture) await drawAnswer(picture, report.picture, report.picture.answer);
}

/** The company as the foot of every page names it. */
function company() {
  return document.querySelector("[data-company]")?.textContent ?? "";
}

function adviceLine(kept) {
  if (!kept) return null;
  const said = say("page.visit.leave.kept-in-use", { name: kept.name, ...spoken(kept.at) });
  return element("p", { className: "ht-visit-notice" }, leftOpen(said));
}

/** The cautions that stay true after the visit, as the registers have them. @param {string[]} ids */
async function cautionsPart(ids) {
  const registers = await bookPage("figures.html");
  const found = (await Promise.all(ids.map((id) => hazardOf(registers, id)))).filter((part) => part !== null);
  return found.length ? section("cautions", say("page.visit.report.cautions"), ...found) : null;
}

/** Who signed, in typed letters, and when; an open visit says that it is open. */
function signedPart(closed, kept) {
  if (!closed)
    return element("p", { className: "ht-visit-signed" }, leftOpen(say("page.visit.report.not-closed")));
  const { at, how, why, signed } = closed;
  return element(
    "div",
    { className: "ht-visit-signed", dataset: { part: "signed" } },
    paragraph(say(`page.visit.report.closed.${howLeft(how, kept)}`), why ? ` ${why}` : null),
    paragraph(say("page.visit.report.signed", { signed, ...spoken(at) })),
  );
}

/** What stands at the foot of the sheet, and what a saved file is called. */
function nameOnPaper({ head }, before) {
  document.title = [say("page.visit.report.title", head), head.opened.slice(0, 10)].join(", ");
  addEventListener("hashchange", () => (document.title = before), { once: true });
}
