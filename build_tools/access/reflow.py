"""Find what a narrow screen would have to be pushed sideways for: 320 px, which is 1280 px at 400 %."""

from __future__ import annotations

from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.access.findings import Finding

NARROW: dict[str, Any] = {"width": 320, "height": 256, "deviceScaleFactor": 4, "mobile": False}
"""1280 by 1024 at 400 %, as WCAG 2.2 (1.4.10) puts it."""
SIDEWAYS = """
const width = document.documentElement.clientWidth;
if (document.scrollingElement.scrollWidth <= width) return [];
const ownScroll = (element) => {
  for (let up = element.parentElement; up && up !== document.body; up = up.parentElement)
    if (["auto", "scroll", "hidden", "clip"].includes(getComputedStyle(up).overflowX)) return true;
  return false;
};
const out = [...document.body.querySelectorAll("*")].filter((each) => each.checkVisibility()
  && each.getBoundingClientRect().right > width + 1 && !ownScroll(each));
return out.map((each) => [`${each.localName}.${each.className} "${each.textContent.trim().slice(0, 30)}"`,
  each.getBoundingClientRect().right - width]);
"""


def pushed_sideways(browser: WebDriver, where: str) -> list[Finding]:
    """Return what sticks out of the page at the present width, where the page as a whole scrolls sideways."""
    found = browser.execute_script(SIDEWAYS)
    return [Finding("reflow", where, element, f"{more:.0f} px beyond the edge") for element, more in found]
