/** Sentences of Python in the reader's units, and the words of the job that several screens use. */
import { say } from "../../shared/words.js";
import { told } from "../../units/unit_sentences.js";

/** @typedef {{code: string, values: Record<string, any>, text: string}} Sentence */

/** A sentence as it is read; a plain text stays what it is. @param {Sentence | string | null | undefined} sentence */
export function sentence(sentence) {
  if (!sentence) return "";
  return typeof sentence === "string" ? sentence : told(sentence);
}

/** What a spring is called, with its number where there are several. @param {string} spring @param {number} [which] @param {number} [of] */
export function springName(spring, which = 1, of = 1) {
  const name = say(`page.visit.spring.${spring}`);
  return of > 1 ? say("page.visit.spring.which", { spring: name, which, of }) : name;
}

/** A net setting in words: "as found", "2 half turns tighter". @param {number} halfTurns */
export function settingWords(halfTurns) {
  const count = Math.abs(halfTurns);
  if (!count) return say("page.visit.net.none");
  const way = halfTurns > 0 ? "tighter" : "looser";
  return say(`page.visit.net.${way}.${count === 1 ? "one" : "many"}`, { count });
}
