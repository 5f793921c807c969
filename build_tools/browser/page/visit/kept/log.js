/**
 * The log of the visits on this phone: events are added, never changed, and are on disk before anybody is told so.
 *
 * `seq` is the store's own key: it counts up over all tabs, whatever the clock does, and no number comes twice.
 */
import { openDB } from "./idb.js";
import { localTime, newId } from "./event_ids.js";
import { scope } from "../../shared/place.js";

const NAME = `${scope}visits`;
const STORES = 1;
/** The version of the events that this page writes. */
const EVENT = 1;
const CHANNEL = `${scope}visits`;

/**
 * @typedef {{kind: string, values: Record<string, any>, id?: string}} Draft
 * @typedef {Draft & {v: number, id: string, visit: string, leveler: string, edition: string, device: string, at: string, seq: number}} LogEvent
 */

/** Why nothing was written: `code` is "blocked", "full", "moved" (another tab has written) or "gone". */
export class LogFault extends Error {
  /** @param {string} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(code, { cause });
    this.code = code;
  }
}

/** Open the log of this book; throws a LogFault where this browser keeps nothing. @param {string} edition that of this page */
export async function openLog(edition) {
  const database = await opened();
  const device = await database.get("device", "id");
  return new Log(database, device, edition);
}

async function opened() {
  try {
    return await openDB(NAME, STORES, {
      upgrade: makeStores,
      blocking: (_from, _to, { target }) => target.close(), // a newer page waits; this one reloads when it writes
    });
  } catch (fault) {
    throw new LogFault("blocked", fault);
  }
}

function makeStores(database) {
  const events = database.createObjectStore("events", { keyPath: "seq", autoIncrement: true });
  events.createIndex("visit", "visit");
  events.createIndex("leveler", ["leveler", "kind"]);
  const digests = database.createObjectStore("digests", { keyPath: "visit" });
  digests.createIndex("leveler", "leveler");
  // The rest hold only rows that have them.
  for (const name of ["open", "last", "due", "keeps"]) digests.createIndex(name, name);
  database.createObjectStore("photos", { keyPath: "hash" });
  database.createObjectStore("device").put(newId(), "id");
}

class Log {
  #device;
  #edition;
  #others = "BroadcastChannel" in window ? new BroadcastChannel(CHANNEL) : null;

  constructor(database, device, edition) {
    this.database = database;
    this.#device = device;
    this.#edition = edition;
  }

  /**
   * Add events to a visit, all or none; resolves once they are on disk.
   * @param {string} visit
   * @param {string} leveler
   * @param {Draft[]} drafts
   * @param {number} [after] the last `seq` of the visit that the writer has seen: where there is a later one, nothing is written
   * @returns {Promise<LogEvent[]>}
   */
  async append(visit, leveler, drafts, after) {
    const about = { v: EVENT, visit, leveler, edition: this.#edition, device: this.#device };
    const made = drafts.map((draft) => ({ ...about, id: newId(), ...draft, at: localTime() }));
    const tx = this.#begin(["events", "digests"]);
    try {
      if (after !== undefined && (await lastSeq(tx, visit)) !== after) throw new LogFault("moved");
      for (const event of made) event.seq = await tx.objectStore("events").add(event);
      await tx.objectStore("digests").put(rowOf(await tx.objectStore("digests").get(visit), made));
      await tx.done;
    } catch (fault) {
      throw await refused(tx, fault);
    }
    this.#others?.postMessage({ visit });
    return made;
  }

  /** Every event of a visit, in the order in which it was written. @returns {Promise<LogEvent[]>} */
  eventsOf(visit) {
    return this.database.getAllFromIndex("events", "visit", visit);
  }

  /** The visits that the log holds. @returns {Promise<string[]>} */
  async visitIds() {
    const ids = [];
    let cursor = await this.database
      .transaction("events")
      .store.index("visit")
      .openKeyCursor(null, "nextunique");
    for (; cursor; cursor = await cursor.continue()) ids.push(cursor.key);
    return ids;
  }

  /** Every event of one kind at a leveler. @returns {Promise<LogEvent[]>} */
  eventsOfLeveler(leveler, kind) {
    return this.database.getAllFromIndex("events", "leveler", [leveler, kind]);
  }

  /** Be told when another tab has written to a visit. @param {(visit: string) => void} listener */
  onWritten(listener) {
    this.#others?.addEventListener("message", ({ data }) => listener(data.visit));
  }

  /** Take every event, photo and summary off this phone; the numbers go on counting. */
  async eraseAll() {
    const tx = this.#begin(["events", "digests", "photos"]);
    for (const store of tx.objectStoreNames) tx.objectStore(store).clear();
    await tx.done;
    this.#others?.postMessage({ visit: "" });
  }

  #begin(stores) {
    try {
      return this.database.transaction(stores, "readwrite", { durability: "strict" });
    } catch (fault) {
      throw new LogFault("gone", fault);
    }
  }
}

/** The last number of a visit's events, 0 where it has none. */
async function lastSeq(tx, visit) {
  const cursor = await tx.objectStore("events").index("visit").openKeyCursor(visit, "prev");
  return cursor ? cursor.primaryKey : 0;
}

/** The row by which a visit is listed: open from its first event to its closing one. */
function rowOf(before, events) {
  const { visit, leveler, at } = events[0];
  const row = { ...(before ?? { visit, leveler, opened: at, open: 1 }), last: events.at(-1).at };
  for (const { kind, values } of events) {
    if (kind === "opened") {
      const { customer, door, sequence } = values;
      Object.assign(row, { customer, door, sequence });
    }
    if (kind === "closed") {
      delete row.open;
      row.keeps = 1; // until a file has handed it over
    }
  }
  return row;
}

/** Undo what a refused transaction had begun, and name why it was refused. */
async function refused(tx, fault) {
  try {
    tx.abort();
  } catch {
    // it was undone already
  }
  const cause = await tx.done.then(
    () => fault,
    (reason) => tx.error ?? reason,
  );
  if (fault instanceof LogFault) return fault;
  const isFull = [fault, cause].some(({ name }) => name === "QuotaExceededError");
  return new LogFault(isFull ? "full" : "gone", cause);
}
