"""The author's page at the desk, in Chromium: it follows each save, and never at the cost of unsaved work."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By

from build_tools.browsers.reading import waiting
from build_tools.browsers.small_book import write_small_book
from build_tools.commands.desk.edition import follow_the_desk
from build_tools.commands.desk.host import Desk, open_host

SECONDS = 30
ASKED = (
    "return performance.getEntriesByType('resource').filter(({ name }) => name.endsWith('state.json')).length"
)
ASKS_SOONER = "window.later ??= setTimeout; window.setTimeout = (act, ms) => window.later(act, ms / 10);"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk that shows edition 1 of the small book."""
    desk = Desk()
    show(desk, tmp_path, 1)
    return desk


@contextmanager
def served(desk: Desk) -> Iterator[str]:
    """Serve a desk for the time of the block; gives the address of its start page."""
    with open_host(desk, 0) as server:
        threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/index.html"
        server.shutdown()


@pytest.fixture
def page(desk: Desk, phone: webdriver.Chrome) -> Iterator[webdriver.Chrome]:
    """A browser on the start page of the desk, kept on this machine already."""
    with served(desk) as address:
        phone.get(address)
        wait_until(phone, "return document.documentElement.dataset.offline === 'complete'")
        yield phone
        phone.get("about:blank")


def show(desk: Desk, folder: Path, edition: int) -> None:
    """Put an edition on the desk, as a good build does."""
    built = write_small_book(folder / f"edition-{edition}", edition=edition)
    desk.show(built, follow_the_desk(built))


def wait_until(browser: webdriver.Chrome, script: str) -> None:
    """Wait until the script gives true."""
    waiting(browser, SECONDS).until(lambda page: page.execute_script(script))


def let_it_ask(browser: webdriver.Chrome, times: int = 5) -> None:
    """Wait until the page has asked the desk so many times more, which it does sooner than it would."""
    asked = int(browser.execute_script(f"{ASKS_SOONER} {ASKED}"))
    wait_until(browser, f"{ASKED} >= {asked + times}")


def words(browser: webdriver.Chrome) -> str:
    """What the page says which edition it is of."""
    return browser.find_element(By.ID, "words").text


def test_a_save_is_shown_at_once(desk: Desk, page: webdriver.Chrome, tmp_path: Path) -> None:
    """A page kept by the service worker follows to the new edition by itself."""
    assert words(page) == "Home of edition 1"
    show(desk, tmp_path, 2)

    wait_until(page, "return document.getElementById('words')?.textContent === 'Home of edition 2'")


def test_unsaved_work_is_waited_for(desk: Desk, page: webdriver.Chrome, tmp_path: Path) -> None:
    """A page with an input that is not kept yet stays until it is."""
    page.execute_script("document.documentElement.dataset.unsaved = 'yes'")
    show(desk, tmp_path, 2)
    let_it_ask(page)
    assert words(page) == "Home of edition 1"

    page.execute_script("delete document.documentElement.dataset.unsaved")
    wait_until(page, "return document.getElementById('words')?.textContent === 'Home of edition 2'")


def test_a_running_stopwatch_is_waited_for(desk: Desk, page: webdriver.Chrome, tmp_path: Path) -> None:
    """While a stopwatch runs the page stays, and follows when it is stopped."""
    page.execute_script(
        "const name = new URL('./', location.href).href + 'stopwatch';"
        "const held = () => new Promise((stop) => { window.stopIt = stop; });"
        "navigator.locks.request(name, {mode: 'shared'}, held);"
    )
    show(desk, tmp_path, 2)
    let_it_ask(page)
    assert words(page) == "Home of edition 1"

    page.execute_script("window.stopIt()")
    wait_until(page, "return document.getElementById('words')?.textContent === 'Home of edition 2'")


def test_a_running_stopwatch_is_never_reloaded_away(
    desk: Desk, page: webdriver.Chrome, tmp_path: Path
) -> None:
    """Without a service worker the desk itself reloads the page; it too waits for the stopwatch to stop."""
    page.execute_script(
        "Object.defineProperty(navigator.serviceWorker, 'controller', { value: null });"
        "const name = new URL('./', location.href).href + 'stopwatch';"
        "const held = () => new Promise((stop) => { window.stopIt = stop; });"
        "navigator.locks.request(name, {mode: 'shared'}, held);"
    )
    wait_until(page, "return window.stopIt !== undefined")
    show(desk, tmp_path, 2)
    let_it_ask(page)
    assert page.execute_script("return window.stopIt !== undefined")  # a reload would have taken it along

    page.execute_script("window.stopIt()")
    wait_until(page, "return window.stopIt === undefined")


def test_problems_are_shown_over_the_page(desk: Desk, page: webdriver.Chrome, tmp_path: Path) -> None:
    """A failed build shows its problems as plain text; they can be hidden, and go with the next good save."""
    problem = "content/index.md:3: a <b>mistake</b>\n  why: because\n  fix: so"
    desk.keep_and_tell([problem])
    wait_until(page, "return document.querySelector('.ht-desk pre')")
    assert page.execute_script("return document.querySelector('.ht-desk pre').textContent") == problem
    assert words(page) == "Home of edition 1"

    page.find_element(By.CSS_SELECTOR, ".ht-desk button").click()
    wait_until(page, "return !document.querySelector('.ht-desk')")
    let_it_ask(page)
    assert page.find_elements(By.CSS_SELECTOR, ".ht-desk") == []

    desk.keep_and_tell(["another"])
    wait_until(page, "return document.querySelector('.ht-desk pre')?.textContent === 'another'")
    show(desk, tmp_path, 2)
    wait_until(page, "return document.getElementById('words')?.textContent === 'Home of edition 2'")
    assert page.find_elements(By.CSS_SELECTOR, ".ht-desk") == []


def test_a_first_failure_turns_into_the_book(tmp_path: Path, phone: webdriver.Chrome) -> None:
    """Who opens the address before any good build reads the problems, and gets the book once there is one."""
    desk = Desk()
    desk.keep_and_tell(["content/index.md:3: a mistake"])
    with served(desk) as address:
        phone.get(address)
        told = phone.find_element(By.CSS_SELECTOR, "main pre").text
        show(desk, tmp_path, 1)
        wait_until(phone, "return document.getElementById('words')?.textContent === 'Home of edition 1'")
        phone.get("about:blank")

    assert told == "content/index.md:3: a mistake"


def test_the_desk_sends_the_headers_of_the_edition(site: Path) -> None:
    """What the edition says of pages and of its worker goes out with each file, as from a host."""
    desk = Desk()
    desk.show(site, "of the real book")
    wanted = json.loads((site / "edition.json").read_text(encoding="utf-8"))["headers"]
    with served(desk) as address:
        for kind, path in (("page", "about.html"), ("worker", "half-turn/worker/python.js")):
            with urlopen(address.replace("index.html", path)) as answer:
                sent = dict(answer.headers)
            assert {name: sent[name] for name in wanted[kind]} == wanted[kind]
    assert wanted["page"] != wanted["worker"]
