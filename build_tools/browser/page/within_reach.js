/**
 * What people reach who do not see the page or do not point at it.
 */

const WIDE = "pre > code, .md-typeset__scrollwrap, .ht-look-up, .ht-list-result, .ht-number dd";

/** Name the search, and let a keyboard scroll what is wider than the page. */
export function putWithinReach() {
  nameSearch();
  const wide = new ResizeObserver((changes) => changes.forEach(({ target }) => reachByKeyboard(target)));
  for (const part of document.querySelectorAll(WIDE)) wide.observe(part);
}

/** The dialog takes the name that the theme gave its entry, in the language of the book. */
function nameSearch() {
  const dialog = document.querySelector(".md-search[role=dialog]:not([aria-label])");
  const entry = dialog?.querySelector("input[aria-label]");
  if (entry) dialog.setAttribute("aria-label", entry.getAttribute("aria-label"));
}

/** Only what scrolls is a stop on the way through the page. */
function reachByKeyboard(part) {
  if (part.scrollWidth > part.clientWidth) part.tabIndex = 0;
  else part.removeAttribute("tabindex");
}
