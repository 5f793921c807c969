/** The first of a visit's pages: the visits that are open, what comes next, and where a new one is begun. */
import { asked } from "../asked/asked.js";
import { beginPart } from "./begin.js";
import {
  dueVisits,
  freshDigests,
  latestVisits,
  mendDigests,
  openVisits,
  visitsToHandOver,
} from "../asked/digests.js";
import { allDoors, placeName } from "./doors.js";
import { dayOf, daysFrom, spoken } from "../shown/days.js";
import { element } from "../../shared/element.js";
import { frame } from "../shown/frame.js";
import { leftOpen, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { say, sayDate } from "../../shared/words.js";

const CLOSED_SHOWN = 8;
const DUE_SHOWN = 8;
const DUE_WITHIN_DAYS = 45;

/**
 * What a page of a visit works with, given by the shell.
 * @typedef {object} Tools
 * @property {any} plan
 * @property {(visit: string, leveler: string, entries: {kind: string, values: object}[]) => Promise<any[]>} append
 * @property {(visit: string) => Promise<any[]>} eventsOf
 * @property {(what: string, data: object) => Promise<any>} ask
 * @property {any} database
 * @property {any} log
 * @property {(hash: string) => void} go
 * @property {(sentence: Sentence) => string} told a sentence in the reader's units
 * @typedef {{code: string, values: object, text: string}} Sentence
 */

/** @param {HTMLElement} place @param {null} _ @param {Tools} tools */
export async function showVisits(place, _, tools) {
  await mendDigests(tools);
  const latest = await freshDigests(tools, await latestVisits(tools.database, CLOSED_SHOWN * 2));
  const [open, due, kept] = await Promise.all([
    openVisits(tools.database),
    dueVisits(tools.database, DUE_SHOWN),
    visitsToHandOver(tools.database),
  ]);
  const doors = new Map(allDoors(tools.plan).map((door) => [door.id, door]));
  const nameOf = (row) => placeName(doors.get(row.leveler) ?? row);
  const closed = latest.filter((row) => !row.open).slice(0, CLOSED_SHOWN);
  frame(place, {
    kind: "visits",
    title: say("page.visit.list.title"),
    body: [
      openPart(open, nameOf, tools),
      beginPart(tools, open),
      duePart(due, nameOf),
      closedPart(closed, nameOf, kept.length),
    ],
  });
}

function openPart(rows, nameOf, tools) {
  if (!rows.length) return null;
  const newest = rows.toSorted((one, other) => (one.last > other.last ? -1 : 1));
  const lines = newest.map((row) => openLine(row, nameOf(row), tools));
  return section(
    "open",
    say("page.visit.list.open"),
    element("ul", { className: "ht-visit-rows" }, ...lines),
  );
}

function openLine(row, name, tools) {
  const stands = element("span", { className: "ht-visit-stands" });
  void standOf(row, tools).then((parts) => stands.replaceChildren(...parts));
  return element(
    "li",
    { dataset: { visit: row.visit } },
    element("a", { href: `#visit=${row.visit}` }, name),
    element("span", {}, askedFor(row, tools.plan)),
    element("span", {}, say("page.visit.list.begun", spoken(row.opened))),
    stands,
  );
}

/** Where a visit stands, as its next screen says, and whose locks hang meanwhile. */
async function standOf({ visit }, tools) {
  const events = await tools.eventsOf(visit);
  const [{ screen }, { locks }] = await Promise.all([
    asked(tools, "screen", { events }),
    asked(tools, "leave", { events }),
  ]);
  if (!screen) return [];
  const { job, of, left_open } = screen.at;
  const at = say("page.visit.list.stands", { title: screen.title, job, of });
  const hanging = locks.filter(({ on }) => on);
  return [
    at,
    ...(left_open ? [" ", leftOpen(say("page.visit.list.left-open", { count: left_open }))] : []),
    ...hanging.flatMap(({ person, where }) => [
      " ",
      leftOpen(say("page.visit.list.lock-hangs", { person, place: where })),
    ]),
  ];
}

function duePart(rows, nameOf) {
  const until = daysFrom(DUE_WITHIN_DAYS);
  const near = rows.flatMap((row) => (row.told?.due ?? []).map((due) => ({ row, ...due })));
  const shown = near.filter(({ on }) => on <= until).sort((one, other) => (one.on < other.on ? -1 : 1));
  if (!shown.length) return null;
  const lines = shown
    .slice(0, DUE_SHOWN)
    .map(({ row, on, job, why }) =>
      element(
        "li",
        {},
        element("a", { href: `?door=${encodeURIComponent(row.leveler)}${opens(job)}` }, nameOf(row)),
        element("span", {}, say("page.visit.list.due-on", { job: job.text ?? job, day: sayDate(on) })),
        element("span", {}, why?.text),
      ),
    );
  return section("due", say("page.visit.list.due"), element("ul", { className: "ht-visit-rows" }, ...lines));
}

/** A day that names a sequence of the plan opens it. */
function opens(job) {
  return job.sequence ? `&sequence=${encodeURIComponent(job.sequence)}` : "";
}

function closedPart(rows, nameOf, toHandOver) {
  const files = paragraph(lineLink("#files", say("page.visit.list.files")));
  const waits = toHandOver ? leftOpen(say("page.visit.list.to-hand-over", { count: toHandOver })) : null;
  const lines = rows.map((row) =>
    element(
      "li",
      { dataset: { visit: row.visit } },
      element("a", { href: `#report=${row.visit}` }, nameOf(row)),
      element("span", {}, say("page.visit.list.closed-on", { day: dayOf(row.last) })),
      lineLink(`#history=${row.leveler}`, say("page.visit.list.history")),
    ),
  );
  if (!rows.length && !waits) return section("closed", say("page.visit.list.kept"), files);
  return section(
    "closed",
    say("page.visit.list.closed"),
    waits && paragraph(waits),
    rows.length ? element("ul", { className: "ht-visit-rows" }, ...lines) : null,
    files,
  );
}

/** What was asked for, in the words of the register. */
function askedFor({ sequence }, plan) {
  return plan.sequences.find(({ id }) => id === sequence)?.label ?? sequence;
}
