/** The page's line to the service worker that keeps the book. */
import { scope } from "./place.js";

/**
 * How one edition stands on this phone: `kept` names its whole tiers, `tiers` counts files.
 * @typedef {{edition: string, date: string, kept: string[],
 *   tiers: Record<string, {files: number, missing: number}>}} EditionStanding
 */
/**
 * `opened` is the edition this page came from (null: from the network); `ready`: `next` may be offered.
 * @typedef {{current: EditionStanding | null, next: EditionStanding | null, ready: boolean, opened: string | null,
 *   withdrawn: boolean}} Standing
 */
/** @typedef {{code: string, url: string}} Fault */

const ANSWER_MS = 180_000; // a large file on a slow network takes this long; after it the worker counts as lost

/** @type {Promise<ServiceWorker | null> | null} */
let keeper = null;

/** The worker that keeps this book, or null where none can run (plain http, private mode, an old browser). */
export function findKeeper() {
  keeper ??= register().catch(() => null);
  return keeper;
}

async function register() {
  if (!("serviceWorker" in navigator) || !("locks" in navigator) || !window.isSecureContext) return null;
  const old = await navigator.serviceWorker.getRegistration(scope);
  await navigator.serviceWorker.register(`${scope}service-worker.js`, { scope, updateViaCache: "none" }).catch((error) => {
    if (old?.scope !== scope) throw error; // with one at work already, a failed renewal is no loss
  });
  return (await navigator.serviceWorker.ready).active;
}

/**
 * Ask the worker for one job; without a type, only for how things stand.
 * @param {"" | "look" | "step" | "swap" | "claim"} type
 * @param {{edition: string, tiers: string[]} | {}} [wanted]
 * @returns {Promise<{standing: Standing | null, fault: Fault | null}>} standing is null where storage is blocked
 */
export async function askKeeper(type, wanted = {}) {
  const worker = (await navigator.serviceWorker.getRegistration(scope))?.active ?? (await findKeeper());
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    const lost = () => resolve({ standing: null, fault: { code: "unknown", url: "" } });
    const timer = worker ? setTimeout(lost, ANSWER_MS) : setTimeout(lost, 0);
    port1.onmessage = ({ data }) => {
      clearTimeout(timer);
      port1.close();
      resolve(data);
    };
    worker?.postMessage({ ...wanted, type }, [port2]);
  });
}

/** Remove the worker of a book that is now only previewed. */
export async function retireKeeper() {
  const registration = await navigator.serviceWorker?.getRegistration(scope);
  if (registration?.scope !== scope) return;
  await registration.unregister();
  if (navigator.serviceWorker.controller) location.reload(); // what is shown came from the kept edition
}
