/**
 * What is kept here of visits: hand it over, take its days into a calendar, put the invented customers away, erase it.
 */
import { asked } from "../asked/asked.js";
import { daysFrom } from "../shown/days.js";
import { freshDigests, latestVisits, visitCount, visitsToHandOver } from "../asked/digests.js";
import { demoIsPutAway, hasDemo, placeName, putDemoAway } from "../pages/doors.js";
import { element } from "../../shared/element.js";
import { erasePart } from "./erase.js";
import { calendarFile, handOver } from "./files.js";
import { frame } from "../shown/frame.js";
import { handAllOver, handRowsOver } from "./handing_over.js";
import { localTime } from "../kept/event_ids.js";
import { button, buttons, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { roomLeft, roomText } from "../pages/photos.js";
import { say } from "../../shared/words.js";
import { scope } from "../../shared/place.js";

const AHEAD_DAYS = 400;
const MOST_VISITS = 500;

/** @param {HTMLElement} place @param {string | null} visit one visit, or null for all that waits @param {import("../pages/choose.js").Tools} tools */
export async function showFiles(place, visit, tools, said = "") {
  const rows = await freshDigests(tools, await rowsOf(visit, tools));
  const again = (told = "") => showFiles(place, visit, tools, told);
  frame(place, {
    kind: "files",
    title: say("page.visit.files.title"),
    body: [
      element("p", { role: "status", className: "ht-visit-said" }, said),
      await officePart(visit, rows, tools, again),
      calendarPart(visit ? rows : await latestVisits(tools.database, MOST_VISITS), tools),
      paragraph(lineLink("#", say("page.visit.leave.all"))),
      demoPart(tools.plan, again),
      await keptPart(tools),
      erasePart(tools, again),
    ],
  });
}

async function rowsOf(visit, { database }) {
  return visit ? [await database.get("digests", visit)] : visitsToHandOver(database);
}

async function officePart(visit, rows, tools, again) {
  const heading = say("page.visit.files.office");
  const everything = button(say("page.visit.files.everything"), () => handAllOver(tools, again), {
    dataset: { act: "hand-over-all" },
  });
  if (!rows.length)
    return section(
      "office",
      heading,
      paragraph(say("page.visit.files.nothing-waits")),
      (await visitCount(tools.database)) ? everything : null,
    );
  const names = rows.map((row) => element("li", {}, placeName(row)));
  return section(
    "office",
    heading,
    paragraph(say("page.visit.files.office-what")),
    element("ul", {}, ...names),
    buttons(
      button(say("page.visit.files.hand-over"), () => handRowsOver(rows, tools, again), {
        className: "ht-main-action",
        dataset: { act: "hand-over" },
      }),
      visit ? null : everything,
    ),
  );
}

/** Next days as events of a calendar, each with the address that opens its visit. */
function calendarPart(rows, tools) {
  const due = rows.flatMap((row) => (row.told?.due ?? []).map((each) => ({ row, ...each })));
  const near = due.filter(({ on }) => on <= daysFrom(AHEAD_DAYS));
  if (!near.length) return null;
  const save = async () => {
    const sent = near.map(({ row, job, on, why }) => ({
      place: placeName(row),
      leveler: row.leveler,
      job: job.text,
      on,
      why: why?.text ?? "",
      address: new URL(`visit.html?door=${encodeURIComponent(row.leveler)}`, scope).href,
    }));
    const { calendar } = await asked(tools, "calendar", { due: sent, made_on: localTime().slice(0, 10) });
    await handOver(
      [calendarFile(calendar, say("page.visit.files.calendar-file"))],
      say("page.visit.files.calendar"),
    );
  };
  return section(
    "calendar",
    say("page.visit.files.calendar"),
    paragraph(say("page.visit.files.calendar-what", { count: near.length })),
    button(say("page.calendar.save"), save, { dataset: { act: "calendar" } }),
  );
}

function demoPart(plan, again) {
  if (!hasDemo(plan)) return null;
  const away = demoIsPutAway();
  const change = () => {
    putDemoAway(!away);
    return again();
  };
  return section(
    "demo",
    say("page.visit.demo.title"),
    paragraph(say(away ? "page.visit.demo.away" : "page.visit.demo.shown")),
    button(say(away ? "page.visit.demo.bring-back" : "page.visit.demo.put-away"), change, {
      dataset: { act: "demo" },
    }),
  );
}

/** How much of visits is kept, and the room that is left. */
async function keptPart({ database }) {
  const [visits, photos, room] = await Promise.all([
    visitCount(database),
    database.count("photos"),
    roomLeft(),
  ]);
  return section(
    "kept",
    say("page.visit.kept.title"),
    paragraph(say("page.visit.kept.what", { visits, photos })),
    paragraph(roomText(room)),
    visits ? null : paragraph(say("page.visit.kept.none")),
  );
}
