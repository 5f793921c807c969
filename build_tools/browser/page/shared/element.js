/** One element of the page with its properties and what stands in it. */

/**
 * @param {string} name
 * @param {Record<string, any>} [properties] of the element; those of `dataset` are its data attributes
 * @param {...(Node | string | null | undefined)} children null and undefined are left out
 * @returns {any}
 */
export function element(name, { dataset = {}, ...properties } = {}, ...children) {
  const made = Object.assign(document.createElement(name), properties);
  Object.assign(made.dataset, dataset);
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}
