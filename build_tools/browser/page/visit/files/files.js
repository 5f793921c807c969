/**
 * What leaves the phone: a visit's file for the office, its photos, and dates for a calendar.
 * Nothing leaves by itself: the person chooses where, on the share sheet or in the downloads.
 */
import { hexHash } from "../kept/hashes.js";

/** The version of the visit file itself; that of the events stands in each. */
const FILE_VERSION = 1;

/**
 * The visit file: JSON lines. First a head, then one event a line as it is in the log, last the SHA-256 of all
 * the bytes before that line. So it can be checked without writing it anew, and one spoilt line spoils no other.
 * @param {object[]} events of one visit or of several, in the order of the log
 * @param {{edition: string, device: string, made: string}} from
 * @returns {Promise<File>} its name carries the same hash
 */
export async function visitFile(events, { edition, device, made }) {
  const visits = [...new Set(events.map(({ visit }) => visit))];
  const photos = events.filter(({ kind }) => kind === "photo").map(({ values }) => values.hash);
  const head = {
    file: "half-turn-visit",
    v: FILE_VERSION,
    edition,
    device,
    made,
    visits,
    events: events.length,
    photos,
  };
  const body = [head, ...events].map((line) => `${JSON.stringify(line)}\n`).join("");
  const sha256 = await hexHash(new TextEncoder().encode(body));
  return new File([body, `${JSON.stringify({ sha256 })}\n`], `${sha256}.visit.jsonl`, {
    type: "application/jsonl",
  });
}

/** A kept photo as a file, named by its hash. @param {import("../pages/photos.js").Photo} photo */
export function photoFile({ hash, blob }) {
  return new File([blob], `${hash}.jpg`, { type: blob.type });
}

/** @param {string} text RFC 5545, as the calculators wrote it @param {string} name */
export function calendarFile(text, name) {
  return new File([text], name, { type: "text/calendar" });
}

/**
 * Hand files over: by the device's share sheet where it takes them, as downloads everywhere else.
 * @param {File[]} files
 * @param {string} title
 * @returns {Promise<"shared" | "saved" | "left">} "left" where the person closed the share sheet
 */
export async function handOver(files, title) {
  const shareable = files.map(asText);
  if (navigator.canShare?.({ files: shareable })) {
    try {
      await navigator.share({ files: shareable, title });
      return "shared";
    } catch (error) {
      if (error.name === "AbortError") return "left";
      // a share sheet that fails is as if there were none
    }
  }
  for (const file of files) save(file);
  return "saved";
}

/** Save one file to the device's downloads. @param {File} file */
export function save(file) {
  const address = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = address;
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // some browsers read it only after this turn
}

/** Share sheets refuse endings that they do not know: what is text goes as text. @param {File} file */
function asText(file) {
  if (file.type !== "application/jsonl") return file;
  return new File([file], `${file.name}.txt`, { type: "text/plain" });
}
