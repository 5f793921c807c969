"""A sheet belongs to one leveler and one visit: it is used nowhere else unasked, and never lost."""

from __future__ import annotations

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.work_sheet import (
    choose,
    empty_sheet,
    entry,
    kept_sheet,
    open_sheet,
    press,
    shown,
    wait,
    write,
)

LIMIT = "half_turns_min"


@pytest.fixture
def sheet(browser: WebDriver, address: str) -> WebDriver:
    """A mainspring sheet of Brackenlow B2 with a counted limit and a cycle."""
    empty_sheet(browser, address, "mainspring-plan")
    take_leveler(browser, "brackenlow-b2")
    write(browser, LIMIT, "8")
    choose(browser, "cycles[0].rise", "short")
    return browser


def take_leveler(browser: WebDriver, id_: str) -> None:
    """Choose the leveler in hand, "" for none."""
    wait(browser, "return document.querySelector('[data-leveler] select') !== null")
    browser.execute_script(
        """
        const choice = document.querySelector("[data-leveler] select");
        choice.value = arguments[0];
        choice.dispatchEvent(new Event("change", { bubbles: true }));
        """,
        id_,
    )


def belonging(browser: WebDriver) -> str:
    """What the sheet says of its leveler and its day, "" where it says nothing."""
    return str(
        browser.execute_script(
            "const place = document.querySelector('[data-part=belonging]');"
            "return place.hidden ? '' : place.querySelector('[data-belonging-text]').textContent"
        )
    )


def is_open(browser: WebDriver) -> bool:
    """Whether anything can be written on the sheet."""
    return not browser.execute_script("return document.querySelector('[data-sheet]').disabled")


def limit(browser: WebDriver) -> str:
    """What stands in the field of the counted limit."""
    return str(entry(browser, LIMIT).get_attribute("value"))


def set_day(browser: WebDriver, day: str) -> None:
    """Have the kept sheet begun on another day."""
    browser.execute_script(
        """
        const key = Object.keys(localStorage).find((known) => known.endsWith("sheet:mainspring-plan"));
        const state = JSON.parse(localStorage.getItem(key));
        state.of.day = arguments[0];
        localStorage.setItem(key, JSON.stringify(state));
        """,
        day,
    )


def test_a_sheet_names_its_leveler_and_its_day(sheet: WebDriver) -> None:
    """With the first thing written it says for which leveler it is, and since when; a blank one is silent."""
    told = belonging(sheet)
    assert told.startswith("This sheet is for Brackenlow B2, two mainsprings (practice), begun on ")
    assert kept_sheet(sheet, "mainspring-plan")["of"]["leveler"] == "brackenlow-b2"
    press(sheet, "[data-act=new-sheet]")
    assert belonging(sheet) == ""


def test_another_leveler_is_asked_about_before_its_sheet_is_used(sheet: WebDriver) -> None:
    """Limits and cycles of one leveler wait, out of reach, until somebody says which sheet to use."""
    take_leveler(sheet, "brackenlow-c3")
    assert "In hand now: Brackenlow C3" in belonging(sheet)
    assert not is_open(sheet)
    assert shown(sheet)["missing"] == "First say which sheet to use."
    take_leveler(sheet, "brackenlow-b2")
    assert [is_open(sheet), limit(sheet)] == [True, "8"]


def test_a_new_sheet_loses_nothing(sheet: WebDriver) -> None:
    """The old sheet is the sheet before, and its own leveler finds it again."""
    take_leveler(sheet, "brackenlow-c3")
    press(sheet, "[data-act=new-sheet]")
    assert [is_open(sheet), limit(sheet)] == [True, ""]
    write(sheet, LIMIT, "3")
    take_leveler(sheet, "brackenlow-b2")
    own = "return document.querySelector('[data-act=own-sheet]').textContent"
    assert str(sheet.execute_script(own)).startswith("Open the sheet of Brackenlow B2")
    press(sheet, "[data-act=own-sheet]")
    assert [is_open(sheet), limit(sheet)] == [True, "8"]
    press(sheet, "[data-act=bring-back]")
    assert "In hand now: Brackenlow B2" in belonging(sheet)
    press(sheet, "[data-act=keep-sheet]")
    assert limit(sheet) == "3"


def test_a_sheet_that_is_kept_is_the_new_leveler_s(sheet: WebDriver) -> None:
    """Whoever chose the wrong leveler at first keeps the sheet with one tap."""
    take_leveler(sheet, "brackenlow-c3")
    press(sheet, "[data-act=keep-sheet]")
    assert [is_open(sheet), limit(sheet)] == [True, "8"]
    assert belonging(sheet).startswith("This sheet is for Brackenlow C3")


def test_another_day_is_asked_about_once(sheet: WebDriver, address: str) -> None:
    """What was counted on another day waits for a word; said once, it holds for this day."""
    set_day(sheet, "2026-01-05")
    open_page_again(sheet)
    assert belonging(sheet).startswith("This sheet was begun on 5 January 2026 for Brackenlow B2")
    assert not is_open(sheet)
    press(sheet, "[data-act=keep-sheet]")
    assert [is_open(sheet), limit(sheet)] == [True, "8"]
    open_sheet(sheet, address, "mainspring-plan")
    assert belonging(sheet).startswith("This sheet is for Brackenlow B2")


def open_page_again(browser: WebDriver) -> None:
    """Load the page anew and wait until its sheet has asked."""
    browser.refresh()
    wait(browser, "return document.querySelector('[data-belonging-choices]')?.hidden === false", 90)


def test_a_sheet_of_an_earlier_edition_is_asked_about(sheet: WebDriver) -> None:
    """A kept sheet that names neither leveler nor day is not taken for today's."""
    sheet.execute_script("""
        const key = Object.keys(localStorage).find((known) => known.endsWith("sheet:mainspring-plan"));
        const { fields, lists } = JSON.parse(localStorage.getItem(key));
        localStorage.setItem(key, JSON.stringify({ fields, lists }));
    """)
    open_page_again(sheet)
    assert belonging(sheet).startswith("This sheet was begun on an earlier day for no leveler chosen.")


def test_what_a_leveler_s_row_filled_in_begins_no_sheet(browser: WebDriver, address: str) -> None:
    """The count of springs comes from the leveler in hand and changes with it, without a question."""
    empty_sheet(browser, address, "mainspring-plan")
    take_leveler(browser, "brackenlow-b2")
    springs = entry(browser, "spring_count")
    assert springs.get_attribute("value") == "2"
    take_leveler(browser, "brackenlow-a1")
    assert springs.get_attribute("value") == "1"
    assert [belonging(browser), is_open(browser)] == ["", True]
