/** The page's line to the service worker that keeps the book. */
import { scope } from "../shared/place.js";

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

const ANSWER_MS = 280_000; // a large file on a slow network takes minutes; after that the worker counts as lost
const CLAIM_MS = 2_000;
const LOST = { standing: null, fault: { code: "unknown", url: "" } };

/** @type {Promise<ServiceWorker | null> | null} */
let keeper = null;
let unreached = false;

/** The worker that keeps this book, or null where none can run (plain http, private mode, an old browser). */
export function findKeeper() {
  keeper ??= register().catch(async (error) => {
    unreached = error instanceof TypeError && !(await hostAnswers());
    if (unreached) keeper = null; // asked for again with the next call
    return null;
  });
  return keeper;
}

/** True where no worker was found only because the network broke before its file was here. */
export const isUnreached = () => unreached;

const hostAnswers = () =>
  fetch(`${scope}service-worker.js`, { cache: "no-store" }).then(
    () => true,
    () => false,
  );

async function register() {
  if (!("serviceWorker" in navigator) || !("locks" in navigator) || !window.isSecureContext) return null;
  const old = await navigator.serviceWorker.getRegistration(scope);
  await navigator.serviceWorker
    .register(`${scope}service-worker.js`, { scope, updateViaCache: "none" })
    .catch((error) => {
      if (old?.scope !== scope) throw error; // with one at work already, a failed renewal is no loss
    });
  const { active } = await navigator.serviceWorker.ready;
  await claimed();
  return active;
}

/** Wait until a new worker has taken this page over; after a forced reload it does so only when asked. */
export function claimed() {
  if (navigator.serviceWorker.controller) return Promise.resolve();
  return new Promise((resolve) => {
    navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true });
    setTimeout(resolve, CLAIM_MS);
  });
}

/**
 * Ask the worker for one job; without a type, only for how things stand.
 * @param {"" | "look" | "step" | "swap" | "claim"} type
 * @param {{edition: string, tiers: string[]} | {}} [wanted]
 * @returns {Promise<{standing: Standing | null, fault: Fault | null}>} standing is null where storage is blocked
 */
export function askKeeper(type, wanted = {}) {
  const container = navigator.serviceWorker;
  return new Promise((resolve) => {
    const end = (/** @type {any} */ answer) => {
      clearTimeout(timer);
      container.removeEventListener("controllerchange", post);
      resolve(answer);
    };
    const post = async () => {
      const worker = (await container.getRegistration(scope))?.active;
      if (!worker) return end(LOST);
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = ({ data }) => end(data);
      return worker.postMessage({ ...wanted, type }, [port2]);
    };
    const timer = setTimeout(() => end(LOST), ANSWER_MS);
    // A new version of the worker may take over before the old one has answered; every job can be asked for twice.
    container.addEventListener("controllerchange", post);
    post();
  });
}

/** Remove the worker of a book that is now only previewed. */
export async function retireKeeper() {
  const registration = await navigator.serviceWorker?.getRegistration(scope);
  if (registration?.scope !== scope) return;
  await registration.unregister();
  if (navigator.serviceWorker.controller) location.reload(); // what is shown came from the kept edition
}
