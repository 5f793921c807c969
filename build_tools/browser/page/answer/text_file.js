/**
 * A result that is a text for another program, such as a calendar: to be read here, and saved as a file.
 */
import { say } from "../shared/words.js";

const TYPES = { calendar: "text/calendar;charset=utf-8" };

/**
 * @param {HTMLElement} root
 * @param {object} answer
 */
export function showTextFiles(root, answer) {
  for (const place of places(root)) {
    const shown = place.querySelector("output");
    const name = shown.dataset.field;
    const text = answer[name];
    place.hidden = !text;
    if (!text) continue;
    shown.textContent = text;
    shown.dataset.value = JSON.stringify(text);
    place.querySelector("[data-act=save-text]").onclick = () =>
      saveText(text, say(`page.${name}.file`), TYPES[name]);
  }
}

/** Take every text off the page; nothing of an earlier answer may be saved. */
export function clearTextFiles(root) {
  for (const place of places(root)) {
    place.hidden = true;
    place.querySelector("output").textContent = "";
    place.querySelector("[data-act=save-text]").onclick = null;
  }
}

/** Save a text to the device, sign by sign as it is: no network takes part. */
function saveText(text, name, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // some browsers read it only after this turn
}

function places(root) {
  return root.querySelectorAll("[data-part=text-file]");
}
