/** What must be written down before a page is reloaded for a new edition, and the lock that a stopwatch holds. */
import { scope } from "./place.js";

/** A running stopwatch holds this Web Lock in shared mode; a swap needs it alone. */
export const stopwatchLock = `${scope}stopwatch`;

const SAVE_MS = 3_000;
/** @type {Set<() => void | Promise<void>>} */
const savers = new Set();
let reloading = false;

/**
 * Have `save` called before this page is reloaded for a new edition.
 * @param {() => void | Promise<void>} save
 */
export function onSaveBeforeSwap(save) {
  savers.add(save);
}

/** Save everything, then reload: once, however often it is asked for, and not held up for good by a saver. */
export async function saveAndReload() {
  if (reloading) return;
  reloading = true;
  const saved = Promise.allSettled([...savers].map(async (save) => save())); // one may fail, the others still save
  await Promise.race([saved, new Promise((resolve) => setTimeout(resolve, SAVE_MS))]);
  location.reload();
}

/**
 * Do `work` while no stopwatch runs in any tab of this book.
 * @param {() => Promise<boolean>} work gives true where this page is about to reload; the lock is then held to its end
 * @returns {Promise<boolean>} false where a stopwatch runs: nothing was done
 */
export function whileNoStopwatch(work) {
  return new Promise((resolve, reject) => {
    const hold = async (/** @type {Lock | null} */ lock) => {
      if (!lock) return resolve(false);
      const leaving = await work();
      resolve(true);
      if (leaving) await new Promise(() => {}); // no stopwatch may start between the swap and the reload
    };
    navigator.locks.request(stopwatchLock, { mode: "exclusive", ifAvailable: true }, hold).catch(reject);
  });
}
