/**
 * The sentence above the cautions and the one below them: from the answer's own fields, never from its numbers.
 */
import { say } from "../shared/words.js";

/** A value that may be ten times off: no number is shown while it is asked about. */
const TEN_FOLD = "question.ten-fold";

/** What a plan says before the cautions; the order itself is its headline and stands below them. */
export function firstText(answer) {
  if (answer.question?.code === TEN_FOLD) return say("page.do.ten-fold");
  if (answer.stop) return "";
  if (answer.do_now > 0) return say("page.first.tighten");
  if (answer.do_now < 0) return say("page.first.loosen");
  if (answer.before_turning?.length) return say("page.first.at-springs");
  return answer.before_cycling?.length ? say("page.first.cycle") : "";
}

/**
 * What to do now, where the calculator judges and gives no order.
 * @param {string} calculator
 * @param {object} answer what the calculator gave
 */
export function actionText(calculator, answer) {
  if (answer.question?.code === TEN_FOLD) return say("page.do.ten-fold");
  if (answer.next_action === undefined) return "";
  return say(
    answer.next_action === "inspect" ? "page.do.stop" : `page.do.${calculator}.${answer.next_action}`,
  );
}
