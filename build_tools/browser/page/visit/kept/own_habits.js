/** This person's own habit of timing, where they chose it, as a visit's first event has it: by calculator and input. */
import { bookPage } from "../shown/book_pages.js";
import { ownTiming, withOwnHabit } from "../../stopwatch/own_habit.js";

/** @param {any} plan @returns {Promise<Record<string, {timing: object[]}>>} empty where the book's figures count */
export async function ownHabits(plan) {
  if (!ownTiming().used) return {};
  const timed = Object.keys(plan.given).filter((name) => plan.given[name].timing);
  const page = pageOfRuns(plan);
  if (!page || !timed.length) return {};
  const sheet = await bookPage(page);
  return Object.fromEntries(
    timed.map((name) => [name, { timing: withOwnHabit(sheet, plan.given[name].timing) }]),
  );
}

/** The page on which runs are timed: its sheet has the figures of the drawn lip. */
function pageOfRuns({ pages }) {
  return Object.keys(pages).find((page) => pages[page].steps.some(({ asks }) => asks?.includes("runs")));
}
