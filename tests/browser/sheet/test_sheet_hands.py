"""What hands do on a sheet: tap instead of typing, go on where something is asked, follow the answer."""

from __future__ import annotations

from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.sheet.test_sheet_belonging import take_leveler
from tests.browser.work_sheet import (
    choose,
    empty_sheet,
    entry,
    error_at,
    open_sheet,
    press,
    results,
    shown,
    take_common_window,
    wait,
    wait_answer,
    wait_runtime,
    write,
)


def fill_cycles(browser: WebDriver, *, first: int, count: int) -> None:
    """Write cycles that rise short and walk down easily."""
    for index in range(first, first + count):
        if not browser.execute_script(
            f"return Boolean(document.getElementsByName('cycles[{index}].rise')[0])"
        ):
            press(browser, "[data-rows=cycles] [data-act=add-row]")
        choose(browser, f"cycles[{index}].rise", "short")
        choose(browser, f"cycles[{index}].lip_extended", "false")
        choose(browser, f"cycles[{index}].walk_down", "easy")


def test_adding_a_cycle_goes_to_what_is_asked_first(browser: WebDriver, address: str) -> None:
    """The focus is on how it rose, not on an effort that few measure."""
    empty_sheet(browser, address, "mainspring-plan")
    press(browser, "[data-rows=cycles] [data-act=add-row]")
    assert browser.execute_script("return document.activeElement.name") == "cycles[1].rise"


def test_limits_go_over_the_wire_with_their_signs(browser: WebDriver, address: str) -> None:
    """Five to loosen is -5 for the calculator, minus typed or not; an error names what was asked."""
    empty_sheet(browser, address, "mainspring-plan")
    wait_runtime(browser)
    fill_cycles(browser, first=0, count=3)
    write(browser, "half_turns_max", "0")
    write(browser, "spring_count", "2")
    for text in ("5", "-5"):
        write(browser, "half_turns_min", text)
        wait_answer(browser)
        assert results(browser)["stop"] == "no-adjustment-left"
        told = browser.execute_script("return document.querySelector('[data-part=picture]')?.innerText ?? ''")
        assert "-5" not in told
    write(browser, "half_turns_min", "300")
    wait_answer(browser, "refused")
    assert error_at(browser, "half_turns_min") == (
        "Half turns left to loosen: 300 is outside what is allowed, 0 to 100. "
        "Check the decimal mark and the unit, then give it again."
    )


def test_ticks_below_the_sheet_clear_for_the_next_half_turn(browser: WebDriver, address: str) -> None:
    """An order at a new setting clears the steps that are done again; the same order does so once."""
    empty_sheet(browser, address, "mainspring-plan")
    wait_runtime(browser)
    write(browser, "half_turns_min", "5")
    write(browser, "half_turns_max", "5")
    write(browser, "spring_count", "2")
    fill_cycles(browser, first=0, count=2)
    wait_answer(browser)
    tick(browser, "measure-the-rod", "turn-half-a-turn", "lock-the-jam-nut")
    open_sheet(browser, address, "mainspring-plan")
    wait_answer(browser)
    assert ticked(browser) == ["measure-the-rod", "turn-half-a-turn", "lock-the-jam-nut"]
    press(browser, "[data-act=turned][data-turn='1']")
    fill_cycles(browser, first=2, count=2)
    wait_answer(browser)
    assert results(browser)["do_now"] == 1
    assert ticked(browser) == ["measure-the-rod"]


def tick(browser: WebDriver, *steps: str) -> None:
    """Tick steps by their ids."""
    for step in steps:
        press(browser, f"[data-step={step}] input[type=checkbox]")


def ticked(browser: WebDriver) -> list[str]:
    """The ids of the steps that are ticked."""
    boxes = "[...document.querySelectorAll('[data-step] input:checked')]"
    found: list[str] = browser.execute_script(f"return {boxes}.map((box) => box.closest('li').dataset.step)")
    return found


def test_an_answer_leads_on_to_its_page(browser: WebDriver, address: str) -> None:
    """A fold that is too quick leads to the page of its spring; an order to time again leads nowhere."""
    empty_sheet(browser, address, "fold-time")
    wait_runtime(browser)
    take_common_window(browser)
    write(browser, "runs_s[0]", "16.4")
    wait_answer(browser)
    lead = "const place = document.querySelector('[data-part=lead]'); return place.hidden ? '' : "
    assert browser.execute_script(f"{lead} place.textContent") == ""
    for index, text in enumerate(("16.4", "16.7", "16.5")):
        write(browser, f"runs_s[{index}]", text)
    wait_answer(browser)
    assert browser.execute_script(f"{lead} place.textContent") == "Go on: Set the lip-assist spring"
    href = browser.execute_script("return document.querySelector('[data-part=lead] a').href")
    assert href == f"{address}procedures/set-the-lip-assist-spring.html"


def test_known_jobs_are_tapped_into_the_plan_of_the_year(browser: WebDriver, address: str) -> None:
    """Three taps write three jobs with the intervals of the book; a second tap on one adds nothing."""
    empty_sheet(browser, address, "service-plan")
    buttons = (
        "return [...document.querySelectorAll('[data-act=offer-row]')].map((button) => button.textContent)"
    )
    assert browser.execute_script(buttons) == [
        "Add Weekly check: 1 week, common practice, no source",
        "Add Quarterly service: 3 months, common practice, no source",
        "Add Yearly inspection: 1 year, published",
    ]
    for number in (1, 2, 3, 3):
        press(browser, f"[data-act=offer-row]:nth-of-type({number})")
    names = [entry(browser, f"tasks[{index}].name").get_attribute("value") for index in range(3)]
    every = [entry(browser, f"tasks[{index}].every").get_attribute("value") for index in range(3)]
    assert names == ["Weekly check", "Quarterly service", "Yearly inspection"]
    assert every == ["1", "3", "1"]
    units = "return [...document.querySelectorAll('[name$=\".unit\"]:checked')].map((unit) => unit.value)"
    assert browser.execute_script(units) == ["week", "month", "year"]
    assert browser.execute_script("return document.activeElement.name") == "tasks[2].last_done"


def test_the_trend_takes_its_visit_from_the_timings(browser: WebDriver, address: str) -> None:
    """Day and mean come from the fold-time sheet of the leveler in hand; that of another is not offered."""
    empty_sheet(browser, address, "fold-time")
    take_leveler(browser, "brackenlow-b2")
    for index, text in enumerate(("18.1", "18.2", "18.4")):
        write(browser, f"runs_s[{index}]", text)
    day = browser.execute_script("return new Date().toLocaleDateString('sv')")
    open_sheet(browser, address, "fold-trend")
    wait(browser, "return document.querySelector('[data-act=take-runs]').hidden === false")
    offered = browser.execute_script("return document.querySelector('[data-act=take-runs]').textContent")
    assert offered.endswith("from the fold-time sheet: 3 runs, mean 18.23 s")
    take_leveler(browser, "brackenlow-c3")
    assert browser.execute_script("return document.querySelector('[data-act=take-runs]').hidden")
    take_leveler(browser, "brackenlow-b2")
    press(browser, "[data-act=take-runs]")
    assert entry(browser, "visits[0].date").get_attribute("value") == day
    assert entry(browser, "visits[0].fold_time_s").get_attribute("value") == "18.23"
    assert entry(browser, "visits[0].adjusted_half_turns").get_attribute("value") == ""
    assert browser.execute_script("return document.querySelector('[data-act=take-runs]').hidden")


def test_the_trend_takes_how_a_visit_was_timed_and_its_temperature(browser: WebDriver, address: str) -> None:
    """Runs started in two ways are not averaged: those of most go over, with start, stop and temperature."""
    empty_sheet(browser, address, "fold-time")
    take_leveler(browser, "brackenlow-b2")
    for index, text in enumerate(("18.1", "18.9", "19.1")):
        write(browser, f"runs_s[{index}]", text)
    browser.execute_script("document.querySelector('[data-calculator] .ht-more').open = true")
    write(browser, "temperature_c", "12,5")
    browser.execute_script("""
        const stop = document.querySelector("[data-timed=stopped]");
        stop.value = "no-longer-moves";
        stop.dispatchEvent(new Event("change", { bubbles: true }));
    """)
    browser.execute_script("""
        const key = Object.keys(localStorage).find((name) => name.endsWith("sheet:fold-time"));
        const sheet = JSON.parse(localStorage[key]);
        sheet.lists.runs_s[1].start = sheet.lists.runs_s[2].start = { started: "countdown" };
        localStorage[key] = JSON.stringify(sheet);
    """)
    open_sheet(browser, address, "fold-trend")
    wait(browser, "return document.querySelector('[data-act=take-runs]').hidden === false")
    offered = browser.execute_script("return document.querySelector('[data-act=take-runs]').textContent")
    assert offered.endswith("from the fold-time sheet: the 2 runs that were started alike, mean 19.00 s")
    press(browser, "[data-act=take-runs]")
    assert entry(browser, "visits[0].fold_time_s").get_attribute("value") == "19.00"
    assert entry(browser, "visits[0].temperature_c").get_attribute("value") == "12,5"
    told = "return document.querySelector('[data-rows=visits] [data-how]').textContent"
    assert browser.execute_script(told) == "Started at the long tone. Stopped when the lip no longer moved."
    wait_runtime(browser)
    write(browser, "visits[0].adjusted_half_turns", "0")
    take_common_window(browser)
    wait_answer(browser)
    taken = [each for each in shown(browser)["reasons"] if each.startswith("What is registered")]
    assert taken == [
        "What is registered of each way of starting and stopping is taken off: the last visit, "
        "written down as 19.00 s, counts as 18.70 s."
    ]
    open_sheet(browser, address, "fold-trend")
    assert browser.execute_script(told) == "Started at the long tone. Stopped when the lip no longer moved."


def test_a_standing_question_is_not_handed_over_as_a_visit(browser: WebDriver, address: str) -> None:
    """A mean with a slip in it is never offered; a run that somebody explained stays out of the mean."""
    empty_sheet(browser, address, "fold-time")
    wait_runtime(browser)
    take_common_window(browser)
    for index, text in enumerate(("19.0", "1.92", "19.2")):
        write(browser, f"runs_s[{index}]", text)
    wait(browser, "return document.querySelector('[data-choice=as-read]') !== null")
    open_sheet(browser, address, "fold-trend")
    assert browser.execute_script("return document.querySelector('[data-act=take-runs]').hidden")
    open_sheet(browser, address, "fold-time")
    wait_runtime(browser)
    write(browser, "runs_s[1]", "24.1")
    wait(browser, "return document.querySelector('[data-choice=mistimed]') !== null")
    press(browser, "[data-choice=mistimed]")
    wait(browser, "return document.querySelector('[data-part=question]').hidden")
    wait_answer(browser)
    open_sheet(browser, address, "fold-trend")
    wait(browser, "return document.querySelector('[data-act=take-runs]').hidden === false")
    offered = browser.execute_script("return document.querySelector('[data-act=take-runs]').textContent")
    assert offered.endswith("from the fold-time sheet: 2 runs, mean 19.10 s")


def test_a_line_with_nothing_to_say_is_left_out(browser: WebDriver, address: str) -> None:
    """One run has no spread; a plan that goes on has no stop: neither line is seen."""
    empty_sheet(browser, address, "fold-time")
    wait_runtime(browser)
    take_common_window(browser)
    write(browser, "runs_s[0]", "19")
    wait_answer(browser)
    assert seen(browser) == {"verdict": True, "sd_s": False, "degrees_of_freedom": False}
    write(browser, "runs_s[1]", "19.1")
    wait_answer(browser)
    assert seen(browser) == {"verdict": True, "sd_s": True, "degrees_of_freedom": False}


def seen(browser: WebDriver) -> dict[str, bool]:
    """Which of three results of the fold-time sheet can be seen."""
    found: dict[str, bool] = browser.execute_script("""
        const place = (name) => document.querySelector(`[data-answer] output[data-field=${name}]`);
        const names = ["verdict", "sd_s", "degrees_of_freedom"];
        return Object.fromEntries(names.map((name) => [name, place(name).checkVisibility()]));
    """)
    return found
