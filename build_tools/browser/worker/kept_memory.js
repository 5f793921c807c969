/**
 * Memory of a started Python, kept on this device for the next start, and thrown away on any doubt.
 *
 * Kept in a cache of the book's own, one at a time, under a name that no other runtime, calculators or browser has.
 */
import { emptyMemory, fillMemory, imageOf } from "./memory_image.js";

const SCOPE = new URL("../../", import.meta.url).href;
const CACHE = `${SCOPE}python-memory`;
const LENGTH = "memory-bytes"; // a header of kept memory, which what marks a doubt has not

/**
 * The address in the cache.
 * @param {string} key the runtime and the calculators, as a hash
 */
export async function placeFor(key) {
  const hash = await sha256(new TextEncoder().encode(`${key} ${navigator.userAgent}`));
  return `${SCOPE}python-memory/${hash}`;
}

/**
 * What is kept; null where nothing is.
 * @param {string} place
 * @returns {Promise<Response | null>}
 */
export async function findMemory(place) {
  const found = await (await caches.open(CACHE)).match(place);
  return found?.headers.has(LENGTH) ? found : null;
}

/**
 * The memory that was kept, at once, and a promise that it is filled: its length is all that is needed at first.
 * The promise is rejected where the bytes are not those that were kept.
 * @param {Response} kept
 * @returns {{memory: Uint8Array, filled: Promise<void>}}
 */
export function readMemory(kept) {
  const memory = emptyMemory(Number(kept.headers.get(LENGTH)));
  return { memory, filled: fill(memory, kept) };
}

async function fill(memory, kept) {
  const image = await kept.arrayBuffer();
  if ((await sha256(image)) !== kept.headers.get("sha256")) throw new Error("the kept memory has changed");
  fillMemory(image, memory);
}

/**
 * Keep memory in place of whatever was kept.
 * @param {string} place
 * @param {Uint8Array} memory
 * @returns {Promise<number>} bytes kept
 */
export async function keepMemory(place, memory) {
  const cache = await caches.open(CACHE);
  for (const request of await cache.keys()) if (request.url !== place) await cache.delete(request);
  const image = imageOf(memory);
  const headers = { sha256: await sha256(image), [LENGTH]: String(memory.length) };
  await cache.put(place, new Response(image, { headers }));
  return image.byteLength;
}

/**
 * Do something with what is kept unless another page is at it; false where one is.
 * @param {() => Promise<boolean>} action
 */
export function alone(action) {
  return navigator.locks.request(CACHE, { ifAvailable: true }, (lock) => (lock ? action() : false));
}

/** Throw away what is kept; this browser then starts this runtime from its files for good. @param {string} place */
export async function doubtMemory(place) {
  if (!(await findMemory(place))) return false;
  await (await caches.open(CACHE)).put(place, new Response(null));
  return true;
}

/** False in a browser that has once failed to start from memory kept here. @param {string} place */
export async function mayKeep(place) {
  const found = await (await caches.open(CACHE)).match(place);
  return !found || found.headers.has(LENGTH);
}

async function sha256(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
