/** What a person typed or ticked, kept on this phone until it is cleared; in memory alone where storage is blocked. */
import { scope } from "./place.js";

/** @type {Map<string, string>} */
const inMemory = new Map();
let blocked = false;
/** A name of another book that lives in a folder of this one's. */
const FURTHER_DOWN = /^(?!ticks\/)[^:]*\//;

/**
 * Keep a value under a name; it replaces what was there.
 * @param {string} name
 * @param {unknown} value anything that JSON can carry
 */
export function keep(name, value) {
  const text = JSON.stringify(value);
  inMemory.set(name, text);
  reach((storage) => storage.setItem(scope + name, text));
}

/**
 * @param {string} name
 * @returns {any} the kept value, or null where there is none
 */
export function kept(name) {
  const text = reach((storage) => storage.getItem(scope + name)) ?? inMemory.get(name);
  try {
    return text ? JSON.parse(text) : null;
  } catch {
    return null; // not written by us
  }
}

/** @param {string} name */
export function forget(name) {
  inMemory.delete(name);
  reach((storage) => storage.removeItem(scope + name));
}

/** Forget everything but these names. @param {string[]} names */
export function forgetAllBut(names) {
  const stays = new Set(names);
  const written = reach((storage) => Object.keys(storage)) ?? [];
  const ours = written.filter((key) => key.startsWith(scope)).map((key) => key.slice(scope.length));
  const here = ours.filter((name) => !FURTHER_DOWN.test(name));
  for (const name of [...here, ...inMemory.keys()]) if (!stays.has(name)) forget(name);
}

/** True where this browser keeps nothing beyond this page (private mode, full, or turned off): say so to the person. */
export function storageBlocked() {
  reach((storage) => {
    storage.setItem(`${scope}probe`, "");
    storage.removeItem(`${scope}probe`);
  });
  return blocked;
}

/** @template T @param {(storage: Storage) => T} use @returns {T | undefined} */
function reach(use) {
  try {
    const result = use(localStorage);
    blocked = false;
    return result;
  } catch {
    blocked = true; // the caller goes on from memory, and storageBlocked() tells
    return undefined;
  }
}
