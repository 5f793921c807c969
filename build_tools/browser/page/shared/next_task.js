/** Go on in a task of its own, so that a thumb is never waited for long. */
export function nextTask() {
  const { scheduler } = /** @type {any} */ (globalThis);
  return scheduler?.yield ? scheduler.yield() : new Promise((resolve) => setTimeout(resolve));
}
