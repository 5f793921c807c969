/**
 * What people reach who do not see the page or do not point at it.
 */
import { say } from "./words.js";

const WIDE = "pre > code, .md-typeset__scrollwrap, .ht-look-up, .ht-list-result, .ht-number dd";
const ENTRIES = "input, textarea, select, [contenteditable]";

/** Name what the theme leaves without a name, open by keys what it opens by touch, scroll what is wide. */
export function putWithinReach() {
  const search = document.querySelector(".md-search input[aria-label]")?.getAttribute("aria-label");
  if (search) document.querySelector(".md-search[role=dialog]").setAttribute("aria-label", search);
  openByButton(document.querySelector(".md-header label[for=__search]"), search);
  openByButton(document.querySelector(".md-header label[for=__drawer]"), say("page.contents"));
  watchWhatIsWide();
  document.addEventListener("keydown", keepLettersFromTheme, { capture: true });
}

/** The theme opens by labels of hidden boxes, which no key reaches; a button takes the place of each. */
function openByButton(label, name) {
  const box = label && document.getElementById(label.htmlFor);
  if (!box) return;
  const button = document.createElement("button");
  button.type = "button";
  button.className = label.className;
  button.dataset.opens = label.htmlFor;
  button.setAttribute("aria-label", name);
  button.append(...label.childNodes);
  label.replaceWith(button);
  const tell = () => button.setAttribute("aria-expanded", String(box.checked));
  tell();
  box.addEventListener("change", tell);
  button.addEventListener("click", () => box.click());
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !box.checked) return;
    box.click();
    button.focus();
  });
}

/** The theme wraps tables when it gets to them, and what is folded has no width before it is opened. */
function watchWhatIsWide() {
  const wide = new ResizeObserver((changes) => changes.forEach(({ target }) => reachByKeyboard(target)));
  const watch = () => document.querySelectorAll(WIDE).forEach((part) => wide.observe(part));
  watch();
  addEventListener("load", () => requestAnimationFrame(watch));
  document.addEventListener("toggle", watch, { capture: true });
}

/** Only what scrolls is a stop on the way through the page. */
function reachByKeyboard(part) {
  if (part.scrollWidth > part.clientWidth) part.tabIndex = 0;
  else part.removeAttribute("tabindex");
}

/** The theme turns pages at single letters; whoever speaks to the phone, or has a trembling hand, would be lost. */
function keepLettersFromTheme(event) {
  if (event.key.length === 1 && event.key !== " " && !event.target.closest?.(ENTRIES))
    event.stopPropagation();
}
