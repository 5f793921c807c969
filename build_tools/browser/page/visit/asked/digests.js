/**
 * One small row a visit, beside the log: what lists and histories read, so that none of them reads the log.
 * The log alone is true: a row that is missing or in doubt is made from it again.
 */
import { asked } from "./asked.js";

/**
 * @typedef {object} Digest
 * @property {string} visit
 * @property {string} leveler
 * @property {string} opened local time with offset
 * @property {string} last of the newest event
 * @property {1} [open] until the visit is closed
 * @property {1} [keeps] a closed visit that no file has handed over yet
 * @property {string} [due] the nearest day in its `dues`
 * @property {object} [told] the engine's digest of a closed visit
 * @property {string} [told_to] the event up to which it tells: the row is made anew where there is a later one
 */

const STORE = "digests";

/** Visits that are not closed. @param {any} database @returns {Promise<Digest[]>} */
export const openVisits = (database) => database.getAllFromIndex(STORE, "open");

/** Closed visits that no file has handed over. @param {any} database @returns {Promise<Digest[]>} */
export const visitsToHandOver = (database) => database.getAllFromIndex(STORE, "keeps");

/** Every visit of a leveler, the oldest first. @param {any} database @param {string} leveler @returns {Promise<Digest[]>} */
export async function visitsOf(database, leveler) {
  const rows = await database.getAllFromIndex(STORE, "leveler", leveler);
  return rows.sort((one, other) => (one.opened < other.opened ? -1 : 1));
}

/** The visits with the newest events. @param {any} database @param {number} most */
export const latestVisits = (database, most) => first(database, "last", "prev", most);

/** The visits whose next day comes first. @param {any} database @param {number} most */
export const dueVisits = (database, most) => first(database, "due", "next", most);

/** How many visits there are. @param {any} database @returns {Promise<number>} */
export const visitCount = (database) => database.count(STORE);

/**
 * The row of a visit, from its events and from what the engine says of it.
 * @param {any[]} events in the order of the log
 * @param {any} told the engine's digest
 * @returns {Digest}
 */
function digestFrom(events, told) {
  const opened = events.find(({ kind }) => kind === "opened");
  const closed = events.findLast(({ kind }) => kind === "closed");
  const handed = events.findLast(({ kind }) => kind === "handed-over");
  const due = (told?.due ?? []).map(({ on }) => on).sort()[0];
  return {
    visit: opened.visit,
    leveler: opened.leveler,
    opened: opened.at,
    last: events.at(-1).at,
    ...(!closed && { open: /** @type {const} */ (1) }),
    ...(closed && !isAfter(handed, events, closed) && { keeps: /** @type {const} */ (1) }),
    ...(closed && due && { due }),
    ...opened.values,
    told,
    told_to: events.at(-1).at,
  };
}

/** A correction after the hand-over is handed over again. */
function isAfter(handed, events) {
  return Boolean(handed) && events.every(({ seq, kind }) => seq <= handed.seq || kind === "handed-over");
}

/**
 * Make a visit's row anew from the log.
 * @param {import("../pages/choose.js").Tools} tools
 * @param {string} visit
 */
export async function renewDigest(tools, visit) {
  const given = await withEarlier(tools, visit);
  const { digest } = await asked(tools, "digest", given);
  const row = digestFrom(given.events, digest);
  await tools.database.put(STORE, row);
  return row;
}

/** A visit's events, and the digests of its leveler's earlier visits, as the engine takes them. @param {import("../pages/choose.js").Tools} tools @param {string} visit */
export async function withEarlier(tools, visit) {
  const events = await tools.eventsOf(visit);
  const rows = await visitsOf(tools.database, events[0].leveler);
  return { events, digests: toldRows(rows.filter((row) => row.opened < events[0].at)) };
}

/** What the engine takes of rows: the digests of closed visits, each with its visit and its begin. @param {Digest[]} rows */
export function toldRows(rows) {
  return rows.filter(({ told }) => told).map(({ visit, opened, told }) => ({ visit, opened, ...told }));
}

/** Rows as they are now: those of closed visits that something was written to since are made anew. @param {import("../pages/choose.js").Tools} tools @param {Digest[]} rows */
export function freshDigests(tools, rows) {
  return Promise.all(
    rows.map((row) => (row.open || row.told_to === row.last ? row : renewDigest(tools, row.visit))),
  );
}

/**
 * Where the rows are gone and the log is not, make them from it again. What the engine says of a closed visit follows
 * when its row is read: asked for all at once, 10,000 visits would take minutes.
 * @param {import("../pages/choose.js").Tools} tools
 * @returns {Promise<number>} how many were made
 */
export async function mendDigests({ log, database }) {
  if ((await database.count(STORE)) || !(await database.count("events"))) return 0;
  const visits = await log.visitIds();
  for (const visit of visits) {
    const row = digestFrom(await log.eventsOf(visit), null);
    await database.put(STORE, { ...row, told_to: "" });
  }
  return visits.length;
}

/** @param {any} database @param {string} index @param {IDBCursorDirection} direction @param {number} most @returns {Promise<Digest[]>} */
async function first(database, index, direction, most) {
  const found = [];
  let cursor = await database.transaction(STORE).store.index(index).openCursor(null, direction);
  while (cursor && found.push(cursor.value) < most) cursor = await cursor.continue();
  return found;
}
