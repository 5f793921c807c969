/**
 * Python in a worker of its own: starts once, then answers one question with one JSON string each way.
 *
 * From the page: {kind: "start", source: "kept" | "network", memory: "use" | "discard" | "leave", takeFirst} or {kind: "adopt"},
 * {kind: "keep"}, {kind: "ask", id, name, text}, {kind: "visit", id, what, text} and {kind: "explain", id, what: "picture" | "working", name, text, answer, units}.
 * To the page: {kind: "ready", from: "memory" | "files", canKeep} | {kind: "failed", code, trace}, then
 * {kind: "kept", bytes, missed} | {kind: "answer", id, text} | {kind: "fault", id, code, trace}.
 * A trace never reaches a person unless they copy it.
 *
 * A worker named "early" is begun by the head of the page: it starts from kept memory, or not at all, and is adopted.
 */
import { cameDamaged, checkFetches } from "./checked_fetch.js";
import { NotKept, startFromFiles, startFromMemory } from "./interpreter.js";
import { alone, doubtMemory, findMemory, keepMemory, mayKeep, placeFor, readMemory } from "./kept_memory.js";
import { KEY, KNOWN } from "./runtime_key.js";

/** @type {import("./interpreter.js").Interpreter | null} It lives as long as the worker. */
let interpreter = null;
/**
 * What may be kept of this start, until it is kept.
 * @type {{place: string, take: () => Promise<Uint8Array | null>} | null}
 */
let keepable = null;
/** True once a question was answered, and not only refused for what is missing: memory is taken before that. */
let answered = false;
/** @type {Promise<object> | null} */
const early = self.name === "early" ? startEarly() : null;

self.addEventListener("message", async (event) => {
  const message = event.data;
  if (message.kind === "start") self.postMessage(await start(message));
  if (message.kind === "adopt") self.postMessage(await early);
  if (message.kind === "keep") self.postMessage(await keep());
  if (message.kind === "ask")
    self.postMessage(reply(message, () => interpreter.answer(message.name, message.text)));
  if (message.kind === "visit")
    self.postMessage(reply(message, () => interpreter.visit(message.what, message.text)));
  if (message.kind === "explain") {
    const { what, name, text, answer, units } = message;
    self.postMessage(reply(message, () => interpreter.explain(what, name, text, answer, units)));
  }
});

/** Start from kept memory before the page has said anything: all that it runs is asked for by its hash. */
async function startEarly() {
  try {
    if (await alone(startKept)) return { kind: "ready", from: "memory", canKeep: false };
    return { kind: "failed", code: "no-memory" };
  } catch (error) {
    return notStartedKept(error);
  }
}

/** Memory that does not start is in doubt, unless it was the runtime that was not there. */
const notStartedKept = (error) => ({
  kind: "failed",
  code: error instanceof NotKept ? "no-memory" : "memory",
  trace: traceOf(error),
});

/**
 * Bring Python up with the calculators in it.
 * `source`: files from the network are checked here; kept ones were checked when kept.
 * `memory`: "use" what is kept, "discard" it for it is in doubt, or "leave" it alone and keep none.
 * `takeFirst`: take the memory before anything is answered, since it could not be taken after an earlier start.
 */
async function start({ source, memory, takeFirst }) {
  let place = null;
  try {
    if (source === "network") await checkFetches();
    else if (memory !== "leave") place = await placeFor(KEY);
    // Another tab that starts at this moment has set the mark that led to a doubt.
    if (memory === "discard") await alone(() => doubtMemory(place));
    if (memory === "use" && (await alone(startKept)))
      return { kind: "ready", from: "memory", canKeep: false };
  } catch (error) {
    return notStartedKept(error);
  }
  try {
    const withMemory = place !== null && (await mayKeep(place));
    const started = await startFromFiles(withMemory);
    if (withMemory) keepable = { place, take: () => started.takeMemory(() => !answered) };
    if (keepable && takeFirst) {
      const taken = await keepable.take();
      keepable.take = async () => taken;
    }
    interpreter = started.interpreter;
    return { kind: "ready", from: "files", canKeep: keepable !== null };
  } catch (error) {
    return { kind: "failed", code: cameDamaged() ? "damaged" : "not-started", trace: traceOf(error) };
  }
}

/** True once Python stands from kept memory and has answered the known question as it was answered in the build. */
async function startKept() {
  const kept = await findMemory(await placeFor(KEY));
  if (!kept) return false;
  const started = await startFromMemory(readMemory(kept));
  if (started.answer(KNOWN.name, KNOWN.text) !== KNOWN.answer)
    throw new Error("the known question was answered otherwise");
  interpreter = started;
  return true;
}

/** Keep the memory of this start; 0 bytes where this device would not, or where it was missed: an answer came first. */
async function keep() {
  const { place, take } = keepable;
  keepable = null;
  const memory = await take().catch(() => null);
  return {
    kind: "kept",
    bytes: memory ? await keepMemory(place, memory).catch(() => 0) : 0,
    missed: !memory && answered,
  };
}

/** Answer one question; a fault of ours becomes a short code with its trace beside it. */
function reply({ id }, call) {
  try {
    if (!interpreter) throw new Error("asked before Python was ready");
    const text = call();
    answered ||= !text.startsWith('{"errors"');
    return { kind: "answer", id, text };
  } catch (error) {
    const trace = traceOf(error);
    return { kind: "fault", id, code: reportCode(trace), trace };
  }
}

function traceOf(error) {
  return String(error?.message ?? error) + "\n" + String(error?.stack ?? "");
}

/** Six signs that are the same for the same fault, so that two people can tell whether they met one or two. */
function reportCode(trace) {
  let hash = 0x811c9dc5;
  for (const sign of trace) hash = Math.imul(hash ^ sign.codePointAt(0), 0x01000193) >>> 0;
  return hash.toString(16).padStart(8, "0").slice(0, 6).toUpperCase();
}
