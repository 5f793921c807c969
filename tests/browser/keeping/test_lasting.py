"""How long the book lasts on a phone: the Home Screen, the browser's promise, and an edition's age."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.browsers.host import Host
from build_tools.browsers.reading import open_page, status, wait_status, waiting
from tests.browser.keeping.test_offline_limits import details, lacking

ADVICE = "[data-advice=home-screen]"
AGENTS = {
    "ios": "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko)",
    "android": "Mozilla/5.0 (Linux; Android 15) AppleWebKit/537.36 (KHTML, like Gecko)",
    "desk": "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko)",
}
SAID = {
    "ios": "This browser deletes the book when you have not opened it for 7 days.",
    "android": "Open the browser's menu and tap Add to Home screen.",
}
NO_QUESTION = "window.addEventListener('beforeinstallprompt', (event) => event.stopImmediatePropagation());"
ASK = """
    const [address, done] = arguments;
    import(new URL("half-turn/page/home_screen.js", address).href).then(({showHomeScreenAdvice}) => {
        const question = Object.assign(new Event("beforeinstallprompt", {cancelable: true}), {
            prompt: async () => { window.asked = (window.asked ?? 0) + 1; },
        });
        window.dispatchEvent(question);
        document.querySelector("[data-advice=home-screen]")?.remove();
        showHomeScreenAdvice();
        done(question.defaultPrevented);
    });
"""


def as_phone(system: str) -> str:
    """A script that makes the browser call itself a phone of this system, and ask nothing of itself."""
    agent = json.dumps(AGENTS[system])
    return f"Object.defineProperty(navigator, 'userAgent', {{get: () => {agent}}}); {NO_QUESTION}"


def advice(browser: WebDriver) -> list[str]:
    """The advice on the open page, if it is there."""
    return [element.text for element in browser.find_elements(By.CSS_SELECTOR, ADVICE)]


@pytest.mark.parametrize("system", SAID)
def test_home_screen_advice_comes_once_and_is_put_away(
    phone: WebDriver, small_host: Host, system: str
) -> None:
    """Not on the visit that fetches the book; then under the line about keeping, until it has been read."""
    with lacking(phone, as_phone(system)):
        open_page(phone, small_host.address)
        assert advice(phone) == []
        open_page(phone, small_host.address + "jobs/lip.html")
        [said] = advice(phone)
        assert SAID[system] in said
        line, box = "[data-status=offline]", phone.find_element(By.CSS_SELECTOR, ADVICE)
        before = "return arguments[0].previousElementSibling.matches(arguments[1])"
        assert phone.execute_script(before, box, line)
        assert box.value_of_css_property("position") == "static"  # in the column, never over it
        box.find_element(By.CSS_SELECTOR, "button").click()
        assert advice(phone) == []
        phone.refresh()
        waiting(phone, 10).until(lambda _: SAID[system] in details(phone))  # there to be looked up
        assert advice(phone) == []


@pytest.mark.parametrize(
    "script",
    [as_phone("desk"), f"navigator.standalone = true; {as_phone('ios')}"],
    ids=["on a desk", "from the Home Screen"],
)
def test_no_advice_where_none_is_needed(phone: WebDriver, small_host: Host, script: str) -> None:
    """On a desk, and where the book was opened from the Home Screen, nothing is advised."""
    with lacking(phone, script):
        open_page(phone, small_host.address)
        open_page(phone, small_host.address + "jobs/lip.html")
        waiting(phone, 10).until(lambda _: "Pages: " in details(phone))
        assert advice(phone) == []
        assert "Home Screen" not in details(phone)


def test_the_browsers_own_question_waits_for_a_press(phone: WebDriver, small_host: Host) -> None:
    """Where Android's browser would ask by itself it is held back, and asks once the button is pressed."""
    with lacking(phone, as_phone("android").replace(NO_QUESTION, "")):
        open_page(phone, small_host.address)
        phone.refresh()
        open_page(phone, small_host.address)
        assert phone.execute_async_script(ASK, small_host.address) is True
        assert phone.execute_script("return window.asked ?? 0") == 0
        add, _ = phone.find_elements(By.CSS_SELECTOR, f"{ADVICE} button")
        assert add.text == "Put the book on the Home Screen"
        add.click()
        waiting(phone, 10).until(lambda _: advice(phone) == [])
        assert phone.execute_script("return window.asked") == 1


PROMISES = {
    "true": "This browser has promised to keep the book until someone clears its data.",
    "false": "This browser has not promised to keep the book.",
    "undefined": "This browser does not tell how long it keeps the book.",
}


@pytest.mark.parametrize("answer", PROMISES)
def test_the_browser_is_asked_once_and_its_answer_told(
    phone: WebDriver, small_host: Host, answer: str
) -> None:
    """Once all is kept the browser is asked for a promise, once an edition; the page says what it answers."""
    script = f"""
        StorageManager.prototype.persisted = async () => localStorage.asked ? {answer} : false;
        StorageManager.prototype.persist = async () => {{
            localStorage.asked = Number(localStorage.asked ?? 0) + 1;
            return {answer};
        }};
    """
    with lacking(phone, script):
        open_page(phone, small_host.address)
        waiting(phone, 10).until(lambda _: PROMISES[answer] in details(phone))
        phone.refresh()
        waiting(phone, 10).until(lambda _: PROMISES[answer] in details(phone))
        assert phone.execute_script("return localStorage.asked") == "1"


AGES = {
    "2026-11-19": "",
    "2027-02-18": "",
    "2027-02-19": "By this phone's clock this edition is 91 days old.",
}


@pytest.mark.parametrize("today", AGES)
def test_an_old_edition_says_how_old_it_is(phone: WebDriver, small_host: Host, today: str) -> None:
    """Past the book's figure of 90 days, and not before, the line gives the age by the phone's clock."""
    with lacking(phone, f"Date.now = () => Date.parse('{today}T12:00:00Z');"):
        open_page(phone, small_host.address)
        said = status(phone)
        assert "days old" in said if AGES[today] else "days old" not in said
        if AGES[today]:
            assert f"{AGES[today]} The host has no newer one." in said
            small_host.stop()
            phone.refresh()
            wait_status(phone, f"{AGES[today]} Open the book where there is a network")


def test_pages_carry_the_figure_and_the_first_words_of_the_line(site: Path) -> None:
    """Every page of the book knows the figure's days; its lines about keeping are filled before scripts."""
    for file in site.rglob("*.html"):
        page = file.read_text(encoding="utf-8")
        assert ' data-old-after-days="90"' in page.partition("<head>")[0], file
        lines = page.split('<p data-status="offline">')[1:]
        assert lines, file
        assert all(line.startswith('<span class="ht-untold">') for line in lines), file
        assert page.count('<span class="ht-from-disk">') == len(lines), file
