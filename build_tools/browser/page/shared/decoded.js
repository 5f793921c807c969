/** Part of an address as it reads, or as it stands where a percent sign in it has no number: anybody can write a link. */

/** @param {string} part */
export function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
