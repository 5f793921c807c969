"""A fault path on a phone, one question a screen, by keyboard, Back, reload and link; on paper, a table."""

from __future__ import annotations

import itertools

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from build_tools.browsers.reading import waiting

PAGE = "faults/will-not-rise-fully.html"


def _read(browser: webdriver.Chrome, script: str) -> object:
    return browser.execute_script(f"return {script}")


def _head(browser: webdriver.Chrome) -> str:
    return str(_read(browser, "document.querySelector('.ht-path-screen h3')?.textContent ?? ''"))


def _wait_head(browser: webdriver.Chrome, words: str) -> None:
    waiting(browser, 20).until(lambda _: _head(browser) == words, f"never {words!r}")


def _is_focused(browser: webdriver.Chrome) -> bool:
    return bool(_read(browser, "document.activeElement === document.querySelector('.ht-path-screen h3')"))


def _press(browser: webdriver.Chrome, words: str) -> None:
    """Move by Tab from where the focus is to the button of these words, and press Enter."""
    for _ in range(30):
        browser.switch_to.active_element.send_keys(Keys.TAB)
        if browser.switch_to.active_element.text == words:
            browser.switch_to.active_element.send_keys(Keys.ENTER)
            return
    raise AssertionError(f"no Tab leads to {words!r}")


@pytest.fixture
def path(browser: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The path's page as it opens."""
    browser.get("about:blank")
    browser.get(f"{address}{PAGE}")
    _wait_head(browser, "Question 1")
    return browser


@pytest.mark.parametrize(
    ("hash_", "told"), [("#%", False), ("#answered/%", True), ("#answered/%E0%A4%A", True)]
)
def test_a_link_with_a_stray_percent_sign_begins_at_question_1(
    browser: webdriver.Chrome, address: str, hash_: str, told: bool
) -> None:
    """What is no answer of this path is passed over, and said where it stood for one."""
    browser.get("about:blank")
    browser.get(f"{address}{PAGE}{hash_}")
    _wait_head(browser, "Question 1")
    notes = _read(browser, "document.querySelectorAll('.ht-path-screen > [role=status]').length")
    assert notes == int(told)


def test_a_path_is_walked_by_keyboard_alone(path: webdriver.Chrome) -> None:
    """Each answer brings the next question, its heading focused; the end has its action first."""
    assert _is_focused(path) is False  # the page opens at its top
    path.execute_script("document.querySelector('.ht-path-screen h3').focus()")
    _press(path, "None of these")
    assert (_head(path), _is_focused(path)) == ("Question 2", True)
    _press(path, "It stops short")
    _press(path, "Easy or firm")
    _press(path, "At a different height each time")

    assert (_head(path), _is_focused(path)) == ("Do this now", True)
    end = path.find_element(By.CSS_SELECTOR, ".ht-path-end")
    assert end.text.splitlines()[1] == "Clean and free the hinges. Then start again here."
    link = end.find_element(By.CSS_SELECTOR, "a.ht-path-page")
    assert link.get_attribute("href").endswith("/adjust/clean-and-free-the-hinges.html")


def test_cautions_stand_above_their_question(path: webdriver.Chrome) -> None:
    """The full message of each caution comes between the heading and what is to be done, in sight."""
    path.execute_script("location.hash = '#answered/none-of-these'")
    _wait_head(path, "Question 2")

    order = _read(
        path,
        "[...document.querySelectorAll('.ht-path-question > *')]"
        ".map((part) => part.dataset.hazard ?? part.dataset.part ?? part.localName)",
    )
    assert order == [
        "h3",
        "p",
        "people-clear",
        "lip-path",
        "platform-slams",
        "chain-lets-go",
        "look",
        "note",
        "ask",
        "div",
    ]
    messages = path.find_elements(By.CSS_SELECTOR, ".ht-path-question aside p")
    assert len(messages) == 12 and all(message.is_displayed() for message in messages)


def test_back_a_reload_and_a_link_keep_the_place(path: webdriver.Chrome) -> None:
    """Back goes one question back, a reload stays, an answer can be given again, a stale link says so."""
    path.execute_script("document.querySelector('.ht-path-screen h3').focus()")
    _press(path, "None of these")
    _press(path, "It stops short")
    assert _head(path) == "Question 4"
    path.back()
    _wait_head(path, "Question 2")
    path.forward()
    _wait_head(path, "Question 4")
    path.refresh()
    _wait_head(path, "Question 4")
    assert _is_focused(path) is True

    path.find_elements(By.CSS_SELECTOR, ".ht-path-answered li button")[1].click()
    assert (_head(path), _is_focused(path)) == ("Question 2", True)

    path.execute_script("location.hash = '#answered/none-of-these/was-in-an-older-book'")
    note = "The rest of this link is from another edition of the book. Answer from here."
    told = (By.CSS_SELECTOR, ".ht-path-screen [role=status]")
    waiting(path, 20).until(lambda _: path.find_elements(*told))
    assert path.find_element(*told).text == note
    assert _head(path) == "Question 2"


def test_answers_are_big_and_nothing_is_wider_than_the_screen(path: webdriver.Chrome) -> None:
    """Every button is at least 48 px high, 8 px from the next, and nothing scrolls sideways."""
    path.execute_script("location.hash = '#answered/none-of-these/it-stops-short'")
    _wait_head(path, "Question 4")

    boxes = [button.rect for button in path.find_elements(By.CSS_SELECTOR, ".ht-path-screen button")]
    assert min(box["height"] for box in boxes) >= 48
    pairs = itertools.pairwise(boxes)
    assert min(after["y"] - before["y"] - before["height"] for before, after in pairs) >= 8
    assert _read(path, "document.documentElement.scrollWidth <= innerWidth") is True


def test_stop_and_call_has_the_number(path: webdriver.Chrome) -> None:
    """An end that stops says why, what to leave alone, and has the office's number to touch."""
    path.execute_script("location.hash = '#answered/a-mainspring-that-hangs-loose-or-lies-in-the-pit'")
    _wait_head(path, "Stop and call")

    assert path.find_element(By.CSS_SELECTOR, ".ht-path-end").text.splitlines()[1:] == [
        "A mainspring is broken or unhooked.",
        "Turn nothing more. Keep everyone off, keep the leveler out of service, and call the office.",
        "Call the office: 555-0142",
    ]
    assert path.find_element(By.CSS_SELECTOR, "a.ht-path-page").get_attribute("href") == "tel:555-0142"


def test_paper_has_the_whole_table(path: webdriver.Chrome) -> None:
    """On paper every question and answer of the table is shown, with its cautions, and no screen of it."""
    shown = "[...document.querySelectorAll(arguments[0])].filter((part) => part.checkVisibility()).length"
    assert path.execute_script(f"return {shown}", "[data-fault-path] [data-answer]") == 0
    path.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        assert path.execute_script(f"return {shown}", "[data-fault-path] [data-answer]") == 18
        assert path.execute_script(f"return {shown}", ".ht-path-cautions aside") == 9
        assert path.execute_script(f"return {shown}", ".ht-path-screen *, .ht-path button") == 0
    finally:
        path.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def test_a_link_to_one_question_shows_it(browser: webdriver.Chrome, address: str) -> None:
    """A link that names a question opens the table there; a button goes back to one question at a time."""
    browser.get("about:blank")
    browser.get(f"{address}{PAGE}#walk-it-down")
    _wait_head(browser, "Question 1")
    assert browser.find_element(By.ID, "walk-it-down").is_displayed()

    button = browser.find_element(By.CSS_SELECTOR, ".ht-path > button")
    assert button.text == "Show one question at a time"
    browser.execute_script("arguments[0].click()", button)
    assert browser.find_element(By.CSS_SELECTOR, ".ht-path-screen").is_displayed()
