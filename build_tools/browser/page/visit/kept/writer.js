/** One tab writes to a visit at a time; the others read it, and take over when that one lets go. */
import { scope } from "../../shared/place.js";

/**
 * Ask to be the writer of a visit.
 * @param {string} visit
 * @param {() => void} taken called where another tab has let go of it and this one has become the writer
 * @returns {Promise<{writes: boolean, letGo: () => void}>}
 */
export async function askToWrite(visit, taken) {
  // Without locks a writer still sees, by the last number of the log, that another tab has written.
  if (!navigator.locks) return { writes: true, letGo: () => {} };
  const name = `${scope}visit/${visit}`;
  const leaving = new AbortController();
  const left = new Promise((resolve) => leaving.signal.addEventListener("abort", resolve));
  const writes = await new Promise((resolve) => {
    void navigator.locks.request(name, { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock ? left : undefined;
    });
  });
  if (!writes) {
    const wait = { signal: leaving.signal };
    navigator.locks.request(name, wait, () => (taken(), left)).catch(() => {}); // left before it was granted
  }
  return { writes, letGo: () => leaving.abort() };
}
