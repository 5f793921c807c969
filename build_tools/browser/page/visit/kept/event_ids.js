/** Ids that sort by the time they were made: UUID version 7, RFC 9562, section 5.7. */

/**
 * @param {number} [at] milliseconds since 1970
 * @returns {string}
 */
export function newId(at = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const time = BigInt(Math.max(0, Math.floor(at)));
  for (let index = 0; index < 6; index += 1) bytes[index] = Number((time >> BigInt(8 * (5 - index))) & 0xffn);
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const digits = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, 8, 12, 16, 20].map((from, part, cuts) => digits.slice(from, cuts[part + 1])).join("-");
}

/** This moment on the phone's own clock, with its distance from UTC: "2026-11-30T14:03:07.120+01:00". */
export function localTime(date = new Date()) {
  const east = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + east * 60_000).toISOString().slice(0, -1);
  const two = (/** @type {number} */ number) => String(Math.floor(number)).padStart(2, "0");
  return `${local}${east < 0 ? "-" : "+"}${two(Math.abs(east) / 60)}:${two(Math.abs(east) % 60)}`;
}
