// Keeps the book on the phone: whole editions only, every file checked by its hash before it is kept.
// It does one small thing a message; which file comes next, and when, is the page's to decide (page/keeping/offline.js).

/** @typedef {{url: string, sha256: string, bytes: number, packed?: {url: string, bytes: number}}} BookFile */
/** @typedef {{url: string, before: string}} Withdrawal  copies in editions dated before `before` must not be used */
/**
 * One edition as edition.json has it, and `kept`: the tiers that are whole on this phone.
 * @typedef {{edition: string, date: string, language: string, words: Record<string, string>, kept: string[],
 *   tiers: Record<string, BookFile[]>, withdrawn: Withdrawal[], headers?: {page: Named, worker: Named}}} Edition
 */
/** @typedef {Record<string, string>} Named  headers by name */

const SCOPE = self.registration.scope;
const FILES = `${SCOPE}files`;
const RECORDS = `${SCOPE}records`;
const SPARE_RECORDS = `${SCOPE}spare-records`; // a phone short of room may drop one cache and leave another
const MOST_AT_ONCE = 6; // as many as a browser asks one host for at a time
const SMALL_BYTES = 200_000;
/** How a host says that it sends no such file; another time it may send one after any other status. */
const REFUSED = new Set([403, 404, 405, 415]);
const NEVER_KEPT = new Set(["edition.json", "service-worker.js"]);
/** By ending. @type {Map<string, string>} */
const TYPES = new Map(
  Object.entries({
    html: "text/html; charset=utf-8",
    css: "text/css; charset=utf-8",
    js: "text/javascript; charset=utf-8",
    mjs: "text/javascript; charset=utf-8", // in editions until December 2026, which a phone may still show
    json: "application/json",
    wasm: "application/wasm",
    zip: "application/zip",
    svg: "image/svg+xml",
    png: "image/png",
    jpg: "image/jpeg",
    webp: "image/webp",
    ico: "image/x-icon",
    webmanifest: "application/manifest+json",
    woff2: "font/woff2",
    txt: "text/plain; charset=utf-8",
    xml: "text/xml",
  }),
);

/** What went wrong, as a code that the page has a sentence for, and the file it went wrong with. */
class Fault extends Error {
  constructor(/** @type {string} */ code, url = "") {
    super(code);
    this.code = code;
    this.url = url;
  }
}

// --- records: `current` is what the phone shows, `next` what it is collecting or has ready ---

/** @type {Promise<{current: Edition | null, next: Edition | null}> | null} */
let records = null;
/** The edition that each open page or worker began with. @type {Map<string, Edition>} */
const openedWith = new Map();

/** @param {string} name */
const recordKey = (name) => `${SCOPE}record/${name}`;
/** @param {string} sha256 */
const fileKey = (sha256) => `${SCOPE}sha256/${sha256}`;
/** @param {Edition} edition @param {string[]} tiers */
const filesOf = (edition, tiers = Object.keys(edition.tiers)) =>
  tiers.flatMap((tier) => (Object.hasOwn(edition.tiers, tier) ? edition.tiers[tier] : []));

function readRecords() {
  records ??= readRecordsFrom(RECORDS).then(async (found) => {
    if (found.current) return found;
    const spare = await readRecordsFrom(SPARE_RECORDS);
    return { current: spare.current, next: found.next ?? spare.next };
  });
  records.catch(() => (records = null));
  return records;
}

/** @param {string} name @returns {Promise<{current: Edition | null, next: Edition | null}>} */
async function readRecordsFrom(name) {
  const cache = await caches.open(name);
  const read = async (/** @type {string} */ record) => {
    const found = await (await cache.match(recordKey(record)))?.json().catch(() => null); // half written: none
    return isEdition(found) ? found : null;
  };
  return { current: await read("current"), next: await read("next") };
}

/** @param {"current" | "next"} name @param {Edition | null} edition */
async function writeRecord(name, edition) {
  for (const each of [SPARE_RECORDS, RECORDS]) {
    const cache = await caches.open(each);
    if (edition) await put(cache, recordKey(name), new Response(JSON.stringify(edition)));
    else await cache.delete(recordKey(name));
  }
  records = null;
}

// --- fetching: nothing is believed before its hash is right ---

/** @param {any} newest */
function isEdition(newest) {
  const isFile = (/** @type {any} */ file) =>
    /^[0-9a-f]{64}$/.test(file?.sha256) && new URL(file.url, SCOPE).href.startsWith(SCOPE);
  return (
    /^[0-9a-f]{16}$/.test(newest?.edition) &&
    Array.isArray(newest.tiers?.reading) &&
    filesOf(newest).every(isFile)
  );
}

/** @returns {Promise<Edition>} */
async function fetchNewest() {
  const answer = await fetch(`${SCOPE}edition.json`, { cache: "no-store" }).catch(() => {
    throw new Fault("offline");
  });
  const text = await answer.text().catch(() => {
    throw new Fault("offline");
  }); // it broke off
  const newest = answer.ok ? parsed(text) : null;
  if (!isEdition(newest)) throw new Fault("not-the-handbook", "edition.json");
  return newest;
}

/** @param {string} text */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** @typedef {{bytes: Promise<ArrayBuffer>, storing: Promise<void>}} Coming */
/** What is on its way, by hash, until it is stored: Python may ask for a file while the same one is being collected. @type {Map<string, Coming>} */
const coming = new Map();

/** One file, verified, and stored where there is room. @param {BookFile} file @returns {Coming} */
function fetchFile(file) {
  const begun = coming.get(file.sha256);
  if (begun) return begun;
  const bytes = fetchVerified(file);
  const storing = bytes.then((content) => store(file, content)).finally(() => coming.delete(file.sha256));
  coming.set(file.sha256, { bytes, storing });
  return { bytes, storing };
}

/** Packed where it can be had so; some hosts know no file of that ending. @param {BookFile} file */
async function fetchVerified(file) {
  const packed = "DecompressionStream" in self && file.packed ? await fetchBytes(file.packed.url) : null;
  const sent = packed ?? (await fetchBytes(file.url));
  if (!sent) throw new Fault("damaged", file.url);
  const bytes = packed ? await unpack(packed).catch(() => null) : sent;
  if (bytes && (await sha256(bytes)) === file.sha256) return bytes;
  throw new Fault("damaged", (packed && file.packed ? file.packed : file).url);
}

/** What the host sends, null where it refuses this file for good. @param {string} url @returns {Promise<ArrayBuffer | null>} */
async function fetchBytes(url) {
  // "reload": the browser's own cache may hold bytes of another edition under this address.
  const answer = await fetch(new URL(url, SCOPE), { cache: "reload" }).catch(() => null);
  const sent = await answer?.arrayBuffer().catch(() => null);
  if (!answer || !sent) throw new Fault("offline", url);
  if (REFUSED.has(answer.status)) return null;
  if (!answer.ok) throw new Fault("damaged", url);
  return sent;
}

/** @param {ArrayBuffer} sent */
const unpack = (sent) =>
  new Response(new Blob([sent]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();

/** @param {ArrayBuffer} bytes */
async function sha256(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {BookFile} file @param {ArrayBuffer} bytes */
async function store(file, bytes) {
  const kept = new Response(bytes, { headers: { "Content-Type": typeOf(file) } });
  await put(await caches.open(FILES), fileKey(file.sha256), kept);
  stored?.add(fileKey(file.sha256));
}

/** @param {Cache} cache @param {string} key @param {Response} kept */
const put = (cache, key, kept) =>
  cache.put(key, kept).catch(() => {
    throw new Fault("no-room");
  });

// --- collecting an edition, a large file or a few small ones a message ---

/** Keys of the stored files as far as known: reading them anew for each file took most of an install. @type {Set<string> | null} */
let stored = null;

/** Read again what is stored: the phone may have thrown files away. */
async function recount() {
  stored = new Set((await (await caches.open(FILES)).keys()).map((request) => request.url));
}

/** What is not stored yet, of files listed in an edition. @param {BookFile[]} files */
async function missing(files) {
  if (!stored) await recount();
  return files.filter((file) => !stored?.has(fileKey(file.sha256)));
}

/** Learn what the host has; what is stored and still wanted is used again, the rest is dropped. */
async function look() {
  const newest = await fetchNewest();
  records = null; // the phone may have thrown the records away since they were read
  const { current, next } = await readRecords();
  const kept = (/** @type {Edition | null} */ had) => (had?.edition === newest.edition ? had.kept : []);
  if (current?.edition === newest.edition) {
    await writeRecord("current", { ...newest, kept: current.kept });
    await writeRecord("next", null);
  } else {
    await writeRecord("next", { ...newest, kept: kept(next) });
  }
  await dropUnused();
}

/** The next file, or as many small ones as one large one weighs: most of the time of a small file is its way. @param {BookFile[]} files */
function firstOf(files) {
  const apart = files.filter(
    (file, place) => files.findIndex(({ sha256 }) => sha256 === file.sha256) === place,
  );
  let bytes = 0;
  return apart.slice(0, MOST_AT_ONCE).filter((file, place) => {
    bytes += (file.packed ?? file).bytes;
    return place === 0 || bytes <= SMALL_BYTES;
  });
}

/** @param {{edition: string, tiers: string[]}} wanted */
async function step({ edition, tiers }) {
  const { current, next } = await readRecords();
  const target = [current, next].find((record) => record?.edition === edition);
  if (!target) throw new Fault("moved");
  if (!tiers.every((tier) => Object.hasOwn(target.tiers, tier))) throw new Fault("moved");
  const files = filesOf(target, tiers);
  const wanted = await missing(files);
  await collect(firstOf(wanted), edition);
  if ((await missing(files)).length) return;
  await recount(); // before the record says that all is here
  if (!(await missing(files)).length) await settle(target, tiers);
}

/** Whatever comes whole is stored, also where another file of these does not. @param {BookFile[]} files @param {string} edition */
async function collect(files, edition) {
  const ends = await Promise.allSettled(files.map((file) => fetchFile(file).storing));
  const fault = ends.find((end) => end.status === "rejected")?.reason;
  if (!fault) return;
  if (!(fault instanceof Fault) || fault.code !== "damaged") throw fault;
  await look(); // wrong bytes: either the host has moved on to another edition, or the file is bad there
  const { current, next } = await readRecords();
  throw (next ?? current)?.edition === edition ? fault : new Fault("moved", fault.url);
}

/** All files of `tiers` are stored: only now does the record say so. @param {Edition} target @param {string[]} tiers */
async function settle(target, tiers) {
  const { current } = await readRecords();
  const whole = { ...target, kept: [...new Set([...target.kept, ...tiers])] };
  if (current && current.edition !== target.edition) return writeRecord("next", whole);
  await writeRecord("current", whole);
  if (!current) await writeRecord("next", null);
}

/** An edition may be offered when it has every tier that the shown one has. @param {Edition | null} current @param {Edition | null} next */
const isReady = (current, next) =>
  Boolean(
    current &&
    next &&
    next.edition !== current.edition &&
    current.kept.every((tier) => next.kept.includes(tier)),
  );

/** Show the next edition from now on, and tell every open page. The page that asks holds the stopwatch lock. */
async function swap() {
  const { current, next } = await readRecords();
  if (!current || !next || !isReady(current, next)) throw new Fault("moved");
  const all = await self.clients.matchAll({ type: "all", includeUncontrolled: true });
  const open = all.filter((client) => client.url.startsWith(SCOPE));
  // A page that was opened before this worker was last started is held to the edition that it came from.
  for (const client of open) if (!openedWith.has(client.id)) openedWith.set(client.id, current);
  await writeRecord("current", next);
  await writeRecord("next", null);
  for (const client of open) if (client.type === "window") client.postMessage({ type: "swapped" });
}

async function dropUnused() {
  const { current, next } = await readRecords();
  const open = new Set((await self.clients.matchAll({ type: "all" })).map((client) => client.id));
  for (const id of openedWith.keys()) if (!open.has(id)) openedWith.delete(id);
  const needed = new Set();
  for (const edition of [current, next, ...openedWith.values()]) {
    if (edition) for (const file of filesOf(edition)) needed.add(fileKey(file.sha256));
  }
  const cache = await caches.open(FILES);
  for (const request of await cache.keys()) if (!needed.has(request.url)) await cache.delete(request);
  await recount();
}

// --- answering the page's messages ---

/** @param {Edition | null} edition */
async function describe(edition) {
  if (!edition) return null;
  const gone = new Set(await missing(filesOf(edition)));
  const tiers = Object.entries(edition.tiers).map(([tier, files]) => [
    tier,
    { files: files.length, missing: files.filter((file) => gone.has(file)).length },
  ]);
  return {
    edition: edition.edition,
    date: edition.date,
    kept: edition.kept,
    tiers: Object.fromEntries(tiers),
  };
}

/** @param {Client} client */
async function report(client) {
  const { current, next } = await readRecords();
  return {
    current: await describe(current),
    next: await describe(next),
    ready: isReady(current, next),
    opened: openedWith.get(client.id)?.edition ?? null,
    withdrawn: Boolean(current && isWithdrawn(current, next, pathOf(client.url))),
  };
}

/** A map: a name that every plain object has is no job. @type {Map<string, (wanted: any) => Promise<void>>} */
const JOBS = new Map(Object.entries({ look, step, swap, claim: () => self.clients.claim() }));

/** Do one job and tell how things stand, whatever came of it. @param {ExtendableMessageEvent} event */
async function answerMessage(event) {
  const job = JOBS.get(event.data?.type); // none: the page only wants to know how things stand
  let fault = null;
  try {
    // The lock holds two tabs, or two versions of this worker, to one job at a time.
    if (!job) stored = null;
    else await navigator.locks.request(`${SCOPE}install`, () => job(event.data));
  } catch (error) {
    fault =
      error instanceof Fault ? { code: error.code, url: error.url } : { code: "unknown", url: String(error) };
  }
  const standing = await report(/** @type {Client} */ (event.source)).catch(() => null); // null: storage is blocked
  event.ports[0]?.postMessage({ standing, fault });
}

self.addEventListener("message", (event) => event.waitUntil(answerMessage(event)));

// --- serving ---

/** As it reads, or as it stands where a percent sign in it has no number. @param {string} part */
function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** @param {string} address */
function pathOf(address) {
  const path = decoded(new URL(address).pathname.slice(new URL(SCOPE).pathname.length));
  return path === "" || path.endsWith("/") ? `${path}index.html` : path;
}

/** @param {BookFile} file @returns {string} */
const typeOf = ({ url }) => TYPES.get(url.split(".").pop() ?? "") ?? "application/octet-stream";

/**
 * The files that an address may mean, the likeliest first: hosts show the page x.html at x and x/ too.
 * @param {string} path
 */
function formsOf(path) {
  const bare = path.replace(/\/index\.html$/, "").replace(/\.html$/, "");
  return [path, `${bare}.html`, `${bare}/index.html`];
}

/** @param {Edition} edition @param {string} path */
function fileAt(edition, path) {
  const files = new Map(filesOf(edition).map((file) => [decoded(file.url), file]));
  return formsOf(path)
    .map((form) => files.get(form))
    .find(Boolean);
}

/** Whether an address that the edition does not know is that of a page: no other file is without an ending. @param {string} path */
const isPageAddress = (path) =>
  path.endsWith(".html") || (!/\.[^/]*$/.test(path) && !path.startsWith("sha256/"));

/** @param {Edition} current @param {Edition | null} next @param {string} path */
function isWithdrawn(current, next, path) {
  const file = fileAt(current, path);
  const pages = file ? [decoded(file.url)] : formsOf(path);
  return [...(current.withdrawn ?? []), ...(next?.withdrawn ?? [])].some(
    ({ url, before }) => pages.includes(decoded(url)) && current.date < before,
  );
}

/** A page gets all its files from the edition that it was opened with. @param {FetchEvent} event @param {Edition | null} current */
function editionFor(event, current) {
  const edition = event.request.mode === "navigate" ? current : (openedWith.get(event.clientId) ?? current);
  if (event.resultingClientId && edition) openedWith.set(event.resultingClientId, edition);
  return edition;
}

/** @param {FetchEvent} event @param {string} path */
async function answerFetch(event, path) {
  const { request } = event;
  const { current, next } = await readRecords().catch(() => ({ current: null, next: null }));
  const edition = editionFor(event, current);
  const file = edition ? fileAt(edition, path) : undefined;
  const isPage = request.mode === "navigate" && (file ? file.url.endsWith(".html") : isPageAddress(path));
  if (!edition)
    return fetch(request).catch(() =>
      isPage && next ? notice(next, "nothing-kept", 503) : Response.error(),
    );
  if (isPage && isWithdrawn(edition, next, path)) return notice(edition, "withdrawn", 410);
  if (!file) return isPage ? notice(edition, "not-in-edition", 404) : fetch(request);
  // A page's links and what is ticked on it hang on its one address.
  if (isPage && decoded(file.url) !== path)
    return Response.redirect(`${SCOPE}${file.url}${new URL(request.url).search}`);
  try {
    return serve(
      file,
      await keptOrFetched(event, file),
      request.headers.get("range"),
      headersOf(edition, path),
    );
  } catch {
    return isPage ? notice(edition, "not-kept", 503) : new Response(null, { status: 503 });
  }
}

/**
 * A file of an edition by its hash: that file or none. It goes as it was stored, so that the browser may keep its
 * compiled code beside it. @param {FetchEvent} event @param {string} sha256
 */
async function answerByHash(event, sha256) {
  const kept = await (await caches.open(FILES)).match(fileKey(sha256)).catch(() => undefined);
  if (kept?.headers.has("Content-Type")) return kept;
  const { current } = await readRecords();
  const file = current && filesOf(current).find((each) => each.sha256 === sha256);
  return file ? serve(file, await keptOrFetched(event, file), null, {}) : Response.error();
}

/** @param {FetchEvent} event @param {BookFile} file */
async function keptOrFetched(event, file) {
  const find = async () => (await caches.open(FILES)).match(fileKey(file.sha256)).catch(() => undefined);
  // It may have been stored, and be on its way no more, while it was not found: then it is found now.
  const kept = (await find()) ?? (coming.has(file.sha256) ? undefined : await find());
  if (kept) return kept.blob();
  const { bytes, storing } = fetchFile(file); // by hash: never a file of another edition
  event.waitUntil(storing.catch(() => undefined)); // no room: it is right all the same, and the status counts it missing
  return new Blob([await bytes]);
}

/** What the file may load and run (build_tools/edition/policy.py). @param {Edition} edition @param {string} path @returns {Named} */
const headersOf = ({ headers }, path) =>
  headers?.[path.startsWith("half-turn/worker/") ? "worker" : "page"] ?? {};

/** @param {BookFile} file @param {Blob} content @param {string | null} range @param {Named} policy */
function serve(file, content, range, policy) {
  const headers = { ...policy, "Content-Type": typeOf(file), "Accept-Ranges": "bytes" };
  const asked = /^bytes=(\d*)-(\d*)$/.exec(range ?? "");
  if (!asked || (!asked[1] && !asked[2])) return new Response(content, { headers });
  const start = asked[1] ? Number(asked[1]) : Math.max(0, content.size - Number(asked[2]));
  const end = asked[1] && asked[2] ? Math.min(Number(asked[2]) + 1, content.size) : content.size;
  if (start >= end)
    return new Response(null, { status: 416, headers: { "Content-Range": `bytes */${content.size}` } });
  const part = { ...headers, "Content-Range": `bytes ${start}-${end - 1}/${content.size}` };
  return new Response(content.slice(start, end), { status: 206, headers: part });
}

/** A page in words where the asked one cannot be shown. @param {Edition} edition @param {string} code @param {number} status */
function notice(edition, code, status) {
  const say = (/** @type {string} */ part) =>
    (edition.words[`page.notice.${part}`] ?? part).replace(/[&<>"]/g, (mark) => `&#${mark.charCodeAt(0)};`);
  const body = `<!doctype html><html lang="${edition.language}" data-notice="${code}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${say(`${code}.title`)}</title>
<link rel="icon" href="${SCOPE}half-turn/icons/icon.svg"><link rel="stylesheet" href="${SCOPE}half-turn/style/sheet.css">
<body data-md-color-scheme="default"><main class="ht-notice md-typeset"><h1>${say(`${code}.title`)}</h1><p>${say(code)}</p>
<p data-status="edition"></p><p data-status="offline"></p><p><a href="${SCOPE}index.html">${say("home")}</a></p></main>
<script type="module" src="${SCOPE}half-turn/page/start.js"></script></body></html>`;
  return new Response(body, {
    status,
    headers: { ...headersOf(edition, "index.html"), "Content-Type": TYPES.get("html") ?? "" },
  });
}

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(SCOPE)) return;
  const path = pathOf(event.request.url);
  const [, sha256] = /^sha256\/([0-9a-f]{64})$/.exec(path) ?? [];
  // Never as a page: it would come without the policy that pages are served with.
  if (sha256 && event.request.mode !== "navigate")
    return event.respondWith(answerByHash(event, sha256).catch(() => Response.error()));
  if (!NEVER_KEPT.has(path)) event.respondWith(answerFetch(event, path));
});

// A new version of this worker may take over at once: it changes no edition, only the code that serves it.
self.addEventListener("install", () => void self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
