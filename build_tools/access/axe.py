"""Run axe-core in an open page: WCAG 2.2 AA, its best practice, and contrast 7:1 for steps and cautions."""

from __future__ import annotations

from functools import cache
from typing import Any

from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.access.findings import Finding
from build_tools.vendor.axe import FOLDER, SCRIPT

RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
"""The tags of axe-core that together are WCAG 2.2 AA, and what its authors recommend beyond it."""
READ_AT_A_GLANCE = (
    "ol.steps",
    "[data-hazard]",
    ".ht-first",
    ".ht-do",
    ".ht-headline",
    ".ht-stopwatch-digits",
)
"""Steps, cautions, and what a calculator tells a person to do: these keep 7:1 whatever their size."""
GLANCE_RATIO = 7
RUN = """
const [context, options, done] = arguments;
const steady = document.getAnimations().filter((each) => each.effect.getComputedTiming().endTime < Infinity);
for (const each of steady) each.finish(); // a colour on its way to another has no contrast to speak of
const why = ({ any, all, none }) => [...any, ...all, ...none].map((each) => each.message).join("; ");
axe.run(context, { resultTypes: ["violations"], elementRef: false, ...options }).then(({ violations }) =>
  done(violations.flatMap(({ id, nodes }) => nodes.map((node) => [id, String(node.target), why(node)]))),
  (error) => done(String(error)));
"""


def ask_axe(browser: WebDriver, where: str) -> list[Finding]:
    """Return what breaks a rule in the page as it stands now."""
    return _run(browser, where, "document", {"runOnly": list(RULES)})


def ask_contrast(browser: WebDriver, where: str) -> list[Finding]:
    """Return which steps, cautions and orders in the page have less than 7:1."""
    present = [
        place
        for place in READ_AT_A_GLANCE
        if browser.execute_script(
            "return [...document.querySelectorAll(arguments[0])].some((each) => each.checkVisibility())",
            place,
        )
    ]
    if not present:
        return []
    ratio = {"contrastRatio": {"normal": {"expected": GLANCE_RATIO}, "large": {"expected": GLANCE_RATIO}}}
    options = {
        "runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]},
        "rules": {"color-contrast-enhanced": {"enabled": True}},
        "checks": {"color-contrast-enhanced": {"options": ratio}},
    }
    return _run(browser, where, {"include": [[place] for place in present]}, options)


def _run(browser: WebDriver, where: str, context: Any, options: dict[str, Any]) -> list[Finding]:
    if not browser.execute_script("return 'axe' in window"):
        browser.execute_script(_source())
    script = RUN if context != "document" else RUN.replace("axe.run(context,", "axe.run(document,")
    found = browser.execute_async_script(script, context, options)
    if isinstance(found, str):
        raise RuntimeError(f"axe-core could not look at {where}: {found}")
    return [Finding(rule, where, element, why) for rule, element, why in found]


@cache
def _source() -> str:
    return (FOLDER / SCRIPT).read_text(encoding="utf-8")
