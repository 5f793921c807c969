/** The history of a leveler at its door, as far as this phone knows it. */
import { asked } from "../asked/asked.js";
import { drawAnswer } from "../shown/answer_picture.js";
import { dayOf } from "../shown/days.js";
import { freshDigests, toldRows, visitsOf } from "../asked/digests.js";
import { allDoors, placeName } from "./doors.js";
import { element } from "../../shared/element.js";
import { frame } from "../shown/frame.js";
import { leftOpen, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { say } from "../../shared/words.js";

/** @param {HTMLElement} place @param {string} leveler @param {import("./choose.js").Tools} tools */
export async function showHistory(place, leveler, tools) {
  const rows = await freshDigests(tools, await visitsOf(tools.database, leveler));
  const door = allDoors(tools.plan).find(({ id }) => id === leveler) ?? rows.at(-1);
  const told = rows.length ? await asked(tools, "history", { digests: toldRows(rows) }) : null;
  const trend = element("figure", {
    className: "ht-visit-fold",
    hidden: true,
    dataset: { part: "trend-picture" },
  });
  frame(place, {
    kind: "history",
    title: door
      ? say("page.visit.history.title", { place: placeName(door) })
      : say("page.visit.list.history"),
    body: [
      rows.length ? null : paragraph(say("page.visit.begin.no-visit")),
      openPart(told?.open ?? []),
      trendPart(told, trend, tools),
      timeline(rows, told?.visits ?? [], tools),
      paragraph(lineLink(`?door=${encodeURIComponent(leveler)}`, say("page.visit.history.begin"))),
      paragraph(lineLink("#", say("page.visit.leave.all"))),
    ],
  });
  if (told?.asked && !told.trend.errors) await drawAnswer(trend, told.asked, told.trend);
}

function openPart(open) {
  if (!open.length) return null;
  const lines = open.map((sentence) => element("li", {}, leftOpen(sentence.text)));
  return section(
    "open",
    say("page.visit.history.open"),
    element("ul", { className: "ht-visit-still-open" }, ...lines),
  );
}

function trendPart(answered, picture, { told }) {
  const trend = answered?.trend;
  if (!trend || trend.errors) return null;
  const reasons = trend.reasons.map((sentence) => element("li", {}, told(sentence)));
  return section(
    "trend",
    say("page.visit.history.trend"),
    element("p", { className: "ht-visit-answer" }, told(trend.headline)),
    picture,
    ...answered.left_out.map((sentence) => paragraph(told(sentence))),
    element(
      "details",
      { className: "ht-visit-more" },
      element("summary", {}, say("page.reasons")),
      element("ul", {}, ...reasons),
    ),
  );
}

/** Every visit, the newest first. */
function timeline(rows, visits, { told }) {
  if (!rows.length) return null;
  const linesOf = new Map(visits.map(({ visit, lines }) => [visit, lines]));
  const shown = rows
    .toReversed()
    .map((row) =>
      element(
        "li",
        { dataset: { visit: row.visit } },
        element("a", { href: row.open ? `#visit=${row.visit}` : `#report=${row.visit}` }, dayOf(row.opened)),
        row.open ? leftOpen(say("page.visit.history.is-open")) : null,
        ...(linesOf.get(row.visit) ?? []).map((sentence) => element("span", {}, told(sentence))),
      ),
    );
  return section(
    "visits",
    say("page.visit.history.visits"),
    element("ol", { className: "ht-visit-timeline" }, ...shown),
  );
}
