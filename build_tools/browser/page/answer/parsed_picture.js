/**
 * A picture that the calculators drew, as an element of the page.
 */

/**
 * The picture is our own Python's, and yet it is parsed as a picture and never as part of the page.
 * @param {string} svg
 * @returns {SVGElement | null} null where it is none
 */
export function parsedPicture(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return parsed.localName === "svg" ? document.adoptNode(parsed) : null;
}
