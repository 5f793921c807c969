"""Measure what can be touched: 48 px each way, 56 in a visit, and 8 px apart, for a thumb in a glove.

A link within a sentence is as high as its line and is left out, as WCAG 2.2 (2.5.8) does; a part named in a
drawing stands where the part is and has the 24 px asked there. Both are counted: nothing is left out unseen.
On pages that nobody works from, tables of figures above all, only the rules of axe-core hold.
"""

from __future__ import annotations

from dataclasses import dataclass

from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.access.findings import Finding

LEAST_PX = 48
IN_A_VISIT_PX = 56
APART_PX = 8
DRAWING_PX = 24
"""What WCAG 2.2 (2.5.8) asks of every target; names in drawings keep it."""
WORKED_FROM = ".ht-home, .ht-procedure, section[data-calculator], section[data-fault-path], [data-visit]"
MEASURE = """
const TOUCHED = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button]";
const place = document.querySelector("dialog[open]") ?? document.querySelector(".md-content");
const box = (element) => {
  const label = element.matches("[type=checkbox], [type=radio]") ? element.closest("label") : null;
  const own = element.getBoundingClientRect();
  const more = label?.getBoundingClientRect() ?? own;
  return { left: Math.min(own.left, more.left), right: Math.max(own.right, more.right),
    top: Math.min(own.top, more.top), bottom: Math.max(own.bottom, more.bottom) };
};
const uncovered = (element) => { // what a scrolled part of the page shows of it just now
  const shown = box(element);
  for (let up = element.parentElement; up && up !== document.body; up = up.parentElement) {
    if (getComputedStyle(up).overflowY === "visible") continue;
    const edge = up.getBoundingClientRect();
    shown.top = Math.max(shown.top, edge.top);
    shown.bottom = Math.min(shown.bottom, edge.bottom);
  }
  return shown;
};
const said = (element) => element.textContent.trim() || element.name || element.type || "";
const name = (element) => `${element.localName} "${said(element).replace(/\\s+/g, " ").slice(0, 40)}"`;
const words = (node) => (node?.textContent ?? "").replace(/[\\s.,;:()]+/g, "");
const inSentence = (link) => {
  if (!link.matches("a") || getComputedStyle(link).display !== "inline") return false;
  const block = link.closest("p, li, td, th, dd, figcaption, caption, summary, h1, h2, h3, h4");
  return Boolean(block) && words(block).length > words(link).length;
};
const kind = (element) => element.closest("svg") ? "drawing" : inSentence(element) ? "sentence" : "target";
const seen = (element) => element.checkVisibility({ visibilityProperty: true })
  && element.getClientRects().length > 0 && !element.disabled && !element.closest(".ht-spoken");
const side = ({ left, right, top, bottom }) => Math.min(right - left, bottom - top);
return [...place.querySelectorAll(TOUCHED)].filter(seen).map((element) =>
  ({ ...uncovered(element), side: side(box(element)), kind: kind(element), name: name(element) }));
"""


@dataclass(frozen=True, slots=True)
class Target:
    """Something to touch: what it is, its shorter side, and the box of it that can be touched just now."""

    name: str
    kind: str
    side: float
    left: float
    top: float
    right: float
    bottom: float

    def is_covered(self) -> bool:
        """Tell whether it has to be scrolled to first."""
        return self.bottom <= self.top

    def distance(self, other: Target) -> float:
        """The gap between two boxes, along the axis on which they are further apart; 0 where they overlap."""
        across = max(other.left - self.right, self.left - other.right)
        down = max(other.top - self.bottom, self.top - other.bottom)
        return max(across, down, 0.0)


def targets(browser: WebDriver) -> list[Target]:
    """Return what can be touched on a page that is worked from, or in the dialog that covers it."""
    if not browser.find_elements(By.CSS_SELECTOR, WORKED_FROM):
        return []
    return [Target(**found) for found in browser.execute_script(MEASURE)]


def too_small_or_near(found: list[Target], where: str, least: int = LEAST_PX) -> list[Finding]:
    """Return the targets that a thumb can miss; `least` px each way are wanted of each."""
    wanted = {"target": least, "drawing": DRAWING_PX}
    small = [
        Finding("target-size", where, each.name, f"{each.side:.0f} px, {wanted[each.kind]} wanted")
        for each in found
        if each.kind in wanted and each.side < wanted[each.kind] - 0.5
    ]
    own = [each for each in found if each.kind == "target" and not each.is_covered()]
    near = [
        Finding(
            "target-distance", where, f"{a.name} and {b.name}", f"{a.distance(b):.0f} px, {APART_PX} wanted"
        )
        for index, a in enumerate(own)
        for b in own[index + 1 :]
        if a.distance(b) < APART_PX - 0.5
    ]
    return small + near
