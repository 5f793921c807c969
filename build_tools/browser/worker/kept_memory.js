/**
 * Memory of a started Python, kept on this device for the next start, and thrown away on any doubt.
 *
 * Kept in a cache of the book's own, one at a time, under a name that no other runtime, calculators or browser has.
 */
import { emptyMemory, fillMemory, imageOf } from "./memory_image.js";

const SCOPE = new URL("../../", import.meta.url).href;
const CACHE = `${SCOPE}python-memory`;
/** After so many doubts this browser starts this runtime from its files for good. */
const MOST_DOUBTS = 2;

/** @typedef {{place: string, doubts: string}} Names the addresses in the cache */

/**
 * @param {string} key the runtime and the calculators, as a hash
 * @returns {Promise<Names>}
 */
export async function namesFor(key) {
  const hash = await sha256(new TextEncoder().encode(`${key} ${navigator.userAgent}`));
  return { place: `${SCOPE}python-memory/${hash}`, doubts: `${SCOPE}python-memory/${hash}/doubts` };
}

/**
 * What is kept; null where nothing is.
 * @param {Names} names
 * @returns {Promise<Response | null>}
 */
export async function findMemory({ place }) {
  return (await (await caches.open(CACHE)).match(place)) ?? null;
}

/**
 * The memory that was kept, at once, and a promise that it is filled: its length is all that is needed at first.
 * The promise is rejected where the bytes are not those that were kept.
 * @param {Response} kept
 * @returns {{memory: Uint8Array, filled: Promise<void>}}
 */
export function readMemory(kept) {
  const memory = emptyMemory(Number(kept.headers.get("memory-bytes")));
  return { memory, filled: fill(memory, kept) };
}

async function fill(memory, kept) {
  const image = await kept.arrayBuffer();
  if ((await sha256(image)) !== kept.headers.get("sha256")) throw new Error("the kept memory has changed");
  fillMemory(image, memory);
}

/**
 * Keep memory in place of whatever was kept.
 * @param {Names} names
 * @param {Uint8Array} memory
 * @returns {Promise<number>} bytes kept
 */
export async function keepMemory(names, memory) {
  const cache = await caches.open(CACHE);
  const known = new Set(Object.values(names));
  for (const request of await cache.keys()) if (!known.has(request.url)) await cache.delete(request);
  const image = imageOf(memory);
  const headers = { sha256: await sha256(image), "memory-bytes": String(memory.length) };
  await cache.put(names.place, new Response(image, { headers }));
  return image.byteLength;
}

/**
 * Do something with what is kept unless another page is at it; false where one is.
 * @param {() => Promise<boolean>} action
 */
export function alone(action) {
  return navigator.locks.request(CACHE, { ifAvailable: true }, (lock) => (lock ? action() : false));
}

/** Throw the kept memory away and count the doubt. @param {Names} names */
export async function doubtMemory({ place, doubts }) {
  const cache = await caches.open(CACHE);
  if (!(await cache.delete(place))) return false;
  await cache.put(doubts, new Response(String((await doubtsIn(cache, doubts)) + 1)));
  return true;
}

/** False in a browser that has failed too often to start from kept memory. @param {Names} names */
export async function mayKeep({ doubts }) {
  return (await doubtsIn(await caches.open(CACHE), doubts)) < MOST_DOUBTS;
}

async function doubtsIn(cache, name) {
  return Number((await (await cache.match(name))?.text()) ?? 0);
}

async function sha256(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
