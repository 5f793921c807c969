"""A procedure's page is no longer on a phone than it has to be."""

from __future__ import annotations

import re
from pathlib import Path

from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.engines import PHONE
from build_tools.places import TOOLS
from tests.browser.work_sheet import wait

SCREENS = 8.0
LISTED = re.compile(r"^\| `([a-z-]+/[a-z-]+)` \| ([\d.]+) \|", re.MULTILINE)
"""A row of DECISIONS.md: a page that may be longer, and by how much."""
DRAWN = """
return [...document.querySelectorAll("[data-sheet]")].every((sheet) => !sheet.disabled)
  && [...document.querySelectorAll("[data-fault-path]")].every((path) => path.dataset.view)
  && document.documentElement.scrollHeight
"""


def test_no_procedure_is_longer_than_its_limit(browser: WebDriver, address: str, site: Path) -> None:
    """Eight phone screens, with everything folded that folds; DECISIONS.md lists the pages that take more."""
    listed = dict(LISTED.findall((TOOLS / "DECISIONS.md").read_text(encoding="utf-8")))
    pages = {
        page.relative_to(site).with_suffix("").as_posix()
        for page in site.rglob("*.html")
        if '<div class="ht-procedure">' in page.read_text(encoding="utf-8")
    }
    assert len(pages) > 25
    assert set(listed) <= pages
    longer = {}
    for page in sorted(pages):
        browser.get(f"{address}{page}.html")
        screens = wait(browser, DRAWN) / PHONE["height"]
        if screens > float(listed.get(page, SCREENS)):
            longer[page] = round(screens, 1)

    assert longer == {}
