"""Two tabs of the real book, each with a Python of its own, over the change from one edition to the next."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.browsers.reading import accept_offer, wait_kept, wait_offer
from build_tools.edition.edition import write_edition
from tests.browser.work_sheet import entry, open_sheet, wait, wait_runtime, write

MARK = {
    "Too quick: the lip": "SECOND EDITION: the lip",
    "The calculators are ready.": "SECOND EDITION ready.",
}
"""A sentence of the calculators' own words, and one of the page's: they tell whose edition speaks."""
OTHER_KEY = {'KEY = "': 'KEY = "second'}
"""What the build does to the key of Python's memory wherever the calculators differ."""
QUICK = {
    "runs_s": [15.0, 15.1, 15.0],
    "window_low_s": 18,
    "window_high_s": 20,
    "timing_uncertainty_s": 0.1,
    "confidence": 0.95,
}
SPOKEN = """
    const [inputs, done] = arguments;
    const root = new URL(document.documentElement.dataset.root + "/", location.href);
    const ours = (name) => import(new URL(`half-turn/page/${name}.js`, root).href);
    Promise.all([ours("runtime"), ours("start")])
        .then(async ([{ask}, {parts}]) => {
            const answer = await ask("fold-time", inputs);
            const page = await (await fetch(location.href)).text();
            const { say } = parts["words.js"];
            done([page.includes("SECOND EDITION page"), say("page.runtime.ready"), answer.headline.text]);
        }).catch((fault) => done([String(fault), fault.trace ?? "", ""]));
"""


@pytest.fixture
def second(site: Path, tmp_path: Path) -> Iterator[Path]:
    """The real book once more, with other words on its pages, in its scripts and in its calculators."""
    folder = Path(shutil.copytree(site, tmp_path / "second"))
    for name in ("words.json", "calculators.json", "worker/python.js"):
        text = (folder / "half-turn" / name).read_text(encoding="utf-8")
        for old, new in {**MARK, **OTHER_KEY}.items():
            text = text.replace(old, new)
        (folder / "half-turn" / name).write_text(text, encoding="utf-8")
    for page in folder.rglob("*.html"):
        with page.open("a", encoding="utf-8") as end:
            end.write("<!-- SECOND EDITION page -->\n")
    first = json.loads((site / "edition.json").read_text(encoding="utf-8"))
    write_edition(folder, date="2026-12-03", preview=False, headers=first.get("headers"))
    yield folder
    shutil.rmtree(folder)


def spoken(browser: WebDriver) -> list[Any]:
    """Which edition speaks in the open tab: its page, its scripts' words, its Python's."""
    return list(browser.execute_async_script(SPOKEN, QUICK))


def is_of(said: list[Any], edition: int) -> bool:
    """Whether page, words and Python are all of this edition."""
    second = [said[0] is True, *("SECOND EDITION" in part for part in said[1:])]
    return second == [edition == 2] * 3


def test_two_tabs_never_mix_editions_and_lose_nothing(phone: WebDriver, host: Host, second: Path) -> None:
    """Both tabs speak the first edition until the swap and the second after it; what is typed stays."""
    open_sheet(phone, host.address, "fold-time")
    wait_kept(phone, "complete", seconds=90)
    wait_runtime(phone)
    tabs = {"fold-time": phone.current_window_handle}
    write(phone, "runs_s[0]", "18.4", leave=False)  # still in the field when the edition changes
    phone.switch_to.new_window("tab")
    tabs["turn-plan"] = phone.current_window_handle
    open_sheet(phone, host.address, "turn-plan")
    wait_runtime(phone)
    write(phone, "window_low_s", "18")
    host.folder = second
    phone.execute_script("window.dispatchEvent(new Event('online'))")
    wait_offer(phone)
    for tab in tabs.values():
        phone.switch_to.window(tab)
        said = spoken(phone)
        assert is_of(said, 1), said
    phone.switch_to.window(tabs["turn-plan"])
    phone.execute_script("scrollTo(0, 0)")
    accept_offer(phone)
    typed = {"fold-time": ("runs_s[0]", "18.4"), "turn-plan": ("window_low_s", "18")}
    for name, tab in tabs.items():
        phone.switch_to.window(tab)
        wait(phone, "return document.lastChild.nodeValue?.includes('SECOND EDITION page')", 30)
        wait(phone, "return document.querySelector('[data-sheet]')?.disabled === false", 90)
        said = spoken(phone)
        assert is_of(said, 2), said
        field, text = typed[name]
        assert entry(phone, field).get_attribute("value") == text
