/**
 * Whether the next start may come from kept memory, and when there is rest and room enough to keep it.
 *
 * A mark stands while Python starts. One that is found was left by a start that ended badly: what is kept is in doubt.
 */
import { forget, keep, kept, storageBlocked } from "../shared/kept.js";

const MARK = "python-starting"; // the head of the page sets it too (theme/main.html)
const MISSED = "python-memory-missed";
const ROOM_BYTES = 150e6; // the memory takes about 13 MB; a phone that is nearly full keeps its room
const REST_MS = 2000;

/**
 * Set the mark for a start.
 * @returns {"use" | "discard" | "leave"} what is to be done with kept memory
 */
export function markStart() {
  if (storageBlocked() || !navigator.locks) return "leave";
  const doubted = kept(MARK) !== null;
  keep(MARK, true);
  return doubted ? "discard" : "use";
}

/** Python stands, or the page is left while it starts, which hurts nothing. */
export const takeMarkAway = () => forget(MARK);

/** An answer was wanted before the memory of the last start was taken: the next start takes it first. */
export const memoryMissed = () => kept(MISSED) !== null;

/** @param {boolean} missed */
export function noteMissed(missed) {
  if (missed) keep(MISSED, true);
  else forget(MISSED);
}

/** Wait until the page is at rest; false where this device says that it has no room for memory. */
export async function restAndRoom() {
  await new Promise((resolve) => setTimeout(resolve, REST_MS));
  await new Promise((resolve) => {
    if ("requestIdleCallback" in window) requestIdleCallback(resolve);
    else resolve(undefined);
  });
  const { quota, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  return quota === undefined || quota - usage > ROOM_BYTES; // a browser that does not tell refuses what it cannot keep
}
