/**
 * Photos of a visit: made smaller, drawn anew so that nothing of the camera's own data is left, kept by hash.
 */
import { hexHash } from "../kept/hashes.js";
import { say } from "../../shared/words.js";

/** Longest side of a kept photo, in its own pixels. */
const LONGEST_PX = 1600;
const TYPE = "image/jpeg";
const QUALITY = 0.8;
/** A photo of that size takes 200 to 700 kB. */
const LEAST_ROOM = 5_000_000;

/** @typedef {{hash: string, blob: Blob, width: number, height: number}} Photo */

/** A photo that was not kept: `code` names the sentence. */
export class NotKept extends Error {
  constructor(code) {
    super(code);
    this.code = code;
  }
}

/**
 * Make the photo that is kept from the one that was taken: upright, at most LONGEST_PX long, and without what a
 * camera writes beside the picture (place, time, name of the phone), since only the picture itself is drawn.
 * @param {Blob} taken
 * @returns {Promise<Photo>}
 */
export async function smallPhoto(taken) {
  if (!crypto.subtle) throw new NotKept("no-hash");
  const picture = await read(taken);
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, TYPE, QUALITY));
  if (!blob) throw new NotKept("unreadable");
  return { hash: await hexHash(await blob.arrayBuffer()), blob, width: canvas.width, height: canvas.height };
}

/** @param {Blob} taken @returns {Promise<ImageBitmap>} */
async function read(taken) {
  try {
    return await createImageBitmap(taken, { imageOrientation: "from-image" });
  } catch {
    throw new NotKept("unreadable"); // HEIC in a browser that cannot read it, or no picture at all
  }
}

/**
 * Keep a photo in the store of photos; the same photo twice is kept once.
 * @param {any} database
 * @param {Photo} photo
 */
export async function keepPhoto(database, photo) {
  const room = await roomLeft();
  if (room !== null && room < LEAST_ROOM) throw new NotKept("no-room");
  try {
    const transaction = database.transaction("photos", "readwrite", { durability: "strict" });
    await Promise.all([transaction.store.put(photo), transaction.done]);
  } catch {
    throw new NotKept("no-room");
  }
}

/** @param {any} database @param {string} hash @returns {Promise<Photo | undefined>} */
export const keptPhoto = (database, hash) => database.get("photos", hash);

/** Bytes that this browser would still keep, null where it does not tell. @returns {Promise<number | null>} */
export async function roomLeft() {
  const told = await navigator.storage?.estimate?.().catch(() => null);
  return told?.quota ? told.quota - told.usage : null;
}

/** How much room is left, in words. @param {number | null} bytes */
export function roomText(bytes) {
  if (bytes === null) return say("page.visit.photo.room-untold");
  if (bytes >= 1e9) return say("page.visit.photo.room-gb", { gigabytes: bytes / 1e9 });
  return say("page.visit.photo.room", { megabytes: Math.floor(bytes / 1e6) });
}

/** A photo as something to look at: drawn, since the page's policy loads no picture from the device. @param {Photo} photo @param {string} label */
export async function drawnPhoto({ blob, width, height }, label, longest = 480) {
  const scale = Math.min(1, longest / Math.max(width, height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", label);
  canvas.className = "ht-visit-photo";
  const picture = await createImageBitmap(blob);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas;
}
