/**
 * Check what comes over the network against the edition's hashes, where no service worker has done so before.
 */
const EDITION = new URL("../../edition.json", import.meta.url);
let damaged = false;

/** True once a file came that is not the edition's; Pyodide wraps the error, so that its own code cannot be relied on. */
export function cameDamaged() {
  return damaged;
}

/**
 * Make every later fetch of this worker compare a file of the edition with its hash.
 * Does nothing where the browser offers no hashing (plain http) or the host has no edition (a preview).
 */
export async function checkFetches() {
  if (!self.crypto?.subtle) return;
  const hashes = await editionHashes();
  const plainFetch = self.fetch.bind(self);
  self.fetch = async (request, options) => {
    const response = await plainFetch(request, options);
    const expected = hashes.get(response.url);
    return expected && response.ok ? checked(response, expected) : response;
  };
}

/** @returns {Promise<Map<string, string>>} address -> SHA-256 in hex, of the calculators' files */
async function editionHashes() {
  const response = await fetch(EDITION, { cache: "no-cache" }).catch(() => null);
  if (!response?.ok) return new Map();
  const edition = await response.json().catch(() => null);
  const files = edition?.tiers?.calculators ?? [];
  return new Map(files.map((file) => [new URL(file.url, EDITION).href, file.sha256]));
}

/** Give the response again once its bytes are the edition's; a damaged file is an error. */
async function checked(response, expected) {
  const bytes = await response.arrayBuffer();
  const digest = new Uint8Array(await self.crypto.subtle.digest("SHA-256", bytes));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (found !== expected) {
    damaged = true;
    throw new Error(`${response.url} is not the file of this edition`);
  }
  return new Response(bytes, { headers: response.headers });
}
