/** How long this browser keeps the book: asked to promise it once all is here, and told as the browser answers. */
import { isOnHomeScreen } from "./home_screen.js";
import { keep, kept } from "../shared/kept.js";

const NAME = "asked-to-last";

/**
 * Ask the browser not to throw the book away: once an edition, and again from the Home Screen. Some browsers hand
 * the question on to the person, who must not be asked at every page.
 * @param {string} edition
 */
export async function askToLast(edition) {
  const asked = `${edition} ${isOnHomeScreen()}`;
  if (!navigator.storage?.persist || kept(NAME) === asked || (await promise()) === "promised") return;
  keep(NAME, asked);
  await navigator.storage.persist().catch(() => false);
}

/** What the browser has said so far. @returns {Promise<"promised" | "not-promised" | "not-told">} */
export async function promise() {
  const persisted = await navigator.storage?.persisted?.().catch(() => undefined);
  if (persisted === undefined) return "not-told";
  return persisted ? "promised" : "not-promised";
}
