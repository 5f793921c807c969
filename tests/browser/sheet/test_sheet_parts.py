"""Parts that only some sheets have: days, ticks, short tables, a calendar file; and "what if" in full."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.registers.registers import Registers
from tests.browser.work_sheet import (
    choose,
    empty_sheet,
    entry,
    fill,
    kept_sheet,
    move_what_if,
    open_sheet,
    open_what_if,
    press,
    results,
    shown,
    wait,
    wait_answer,
    wait_runtime,
)

NO_LAG_MS = 100
"""A tenth of a second is felt as at once; the machine that tests run on may be busy with other tests."""


def test_a_spring_may_be_told_in_two_ways(browser: WebDriver, address: str) -> None:
    """An empty sheet says what to begin with and marks nothing wrong; two points alone are enough."""
    empty_sheet(browser, address, "spring-rate")
    wait_runtime(browser)
    told = wait_answer(browser, "missing")
    assert told["missing"].endswith("Give all four dimensions, or two measured points.")
    assert browser.find_elements(By.CSS_SELECTOR, "[data-error]:not([hidden])") == []
    fill(browser, {"points": [{"length_m": 0.5, "force_n": 100}, {"length_m": 0.6, "force_n": 300}]})
    wait_answer(browser)
    assert results(browser)["rate_n_per_m"] == pytest.approx(2000, rel=1e-11)


@pytest.fixture
def counterbalance(browser: WebDriver, address: str, registers: Registers) -> WebDriver:
    """The counterbalance's sheet, answered."""
    empty_sheet(browser, address, "counterbalance")
    wait_runtime(browser)
    fill(browser, registers.examples["counterbalance"]["inputs"])
    wait_answer(browser)
    return browser


def test_a_long_table_opens_and_folds(counterbalance: WebDriver) -> None:
    """The curve starts with at most 12 rows; its button shows every row, and the short table again."""
    table = '[data-answer] table[data-list="curve"]'
    button = counterbalance.find_element(By.CSS_SELECTOR, "[data-answer] [data-act=more-rows]")
    rows = counterbalance.find_elements(By.CSS_SELECTOR, f"{table} tbody tr")

    def seen() -> int:
        return len([row for row in rows if row.is_displayed()])

    few = seen()
    assert 2 < few <= 12 < len(rows)
    assert button.text == f"Show all {len(rows)} rows"
    press(counterbalance, "[data-answer] [data-act=more-rows]")
    assert seen() == len(rows)
    press(counterbalance, "[data-answer] [data-act=more-rows]")
    assert seen() == few


def test_what_if_follows_without_lag_and_the_latest_wins(counterbalance: WebDriver) -> None:
    """Half of all moves are answered within a tenth of a second; of a hundred at once the last stands."""
    open_what_if(counterbalance)
    move_what_if(counterbalance, 40)
    took = [move_what_if(counterbalance, step)["took"] for step in range(1, 21)]
    assert statistics.median(took) < NO_LAG_MS
    counterbalance.execute_script("""
        const slider = document.querySelector("[data-what-if-slider]");
        for (let step = 1; step <= 100; step += 1) {
            slider.value = step;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
        }
    """)
    wait(counterbalance, "return document.querySelector('[data-part=what-if-answer]').dataset.step === '100'")
    time.sleep(0.5)  # an overtaken answer would come now
    part = counterbalance.find_element(By.CSS_SELECTOR, "[data-part=what-if-answer]")
    assert part.get_attribute("data-step") == "100"


def test_what_if_is_written_in_only_when_asked(counterbalance: WebDriver) -> None:
    """The button alone writes the moved value on the sheet, which then answers for it."""
    open_what_if(counterbalance)
    before = kept_sheet(counterbalance, "counterbalance")
    told = move_what_if(counterbalance, -20)
    assert kept_sheet(counterbalance, "counterbalance") == before
    press(counterbalance, "[data-what-if-write]")
    wait_answer(counterbalance)
    found = results(counterbalance)
    assert {name: found[name] for name in told["results"]} == told["results"]
    after = kept_sheet(counterbalance, "counterbalance")
    assert after["fields"]["platform_mass_kg"]["text"] == f"{told['value']}"
    assert {**after["fields"], "platform_mass_kg": 0} == {**before["fields"], "platform_mass_kg": 0}


def test_what_if_names_what_cannot_be(counterbalance: WebDriver) -> None:
    """A moved value that the calculator refuses is told with its reason, and no number stands beside it."""
    open_what_if(counterbalance)
    highest = counterbalance.execute_script("""
        const choice = document.querySelector("[data-what-if-choice]");
        choice.value = "walk_down_x_m";
        choice.dispatchEvent(new Event("change", { bubbles: true }));
        return Number(document.querySelector("[data-what-if-slider]").max);
    """)
    told = move_what_if(counterbalance, highest)
    assert "is farther out than the platform is long" in told["refused"]
    assert (told["results"], told["headline"]) == ({}, "")


@pytest.fixture
def service_plan(browser: WebDriver, address: str, registers: Registers) -> WebDriver:
    """The sheet of the year's plan, answered."""
    empty_sheet(browser, address, "service-plan")
    wait_runtime(browser)
    fill(browser, registers.examples["service-plan"]["inputs"])
    wait_answer(browser)
    return browser


def test_the_calendar_leaves_as_a_file(service_plan: WebDriver, tmp_path: Path) -> None:
    """The saved file is the calculator's text byte for byte, each line ended by CRLF."""
    service_plan.execute_cdp_cmd(
        "Browser.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(tmp_path)}
    )
    press(service_plan, "[data-act=save-text]")
    file = tmp_path / "upkeep.ics"
    end = time.monotonic() + 20
    while not file.exists() and time.monotonic() < end:
        time.sleep(0.05)
    saved = file.read_bytes()
    assert saved == results(service_plan)["calendar"].encode()
    assert saved.startswith(b"BEGIN:VCALENDAR\r\n")
    assert saved.endswith(b"END:VCALENDAR\r\n")
    assert saved.count(b"\n") == saved.count(b"\r\n") > 10


def test_days_and_ticks_outlast_a_reload(service_plan: WebDriver, address: str) -> None:
    """Days, ticks and choices come back as they were, and give the same answer."""
    press(service_plan, '[data-null-for="tasks[1].last_done"]')
    wait(service_plan, "return document.querySelector('[name=\"tasks[1].last_done\"]').disabled")
    choose(service_plan, "closed_weekdays[0].weekday", "saturday")
    wait_answer(service_plan)
    before = results(service_plan)
    open_sheet(service_plan, address, "service-plan")
    wait_runtime(service_plan)
    wait_answer(service_plan)
    assert results(service_plan) == before
    assert entry(service_plan, "start").get_attribute("value") == "2026-12-01"
    ticked = service_plan.execute_script(
        "return [...document.querySelectorAll('[data-ticks] input:checked')].map((box) => box.value)"
    )
    assert ticked == ["saturday", "sunday"]


def test_a_blank_day_is_named_as_missing(service_plan: WebDriver) -> None:
    """A plan without its first day says so and keeps quiet; nothing of the answer before can be saved."""
    service_plan.execute_script("""
        const day = document.querySelector("[name=start]");
        day.value = "";
        day.dispatchEvent(new Event("input", { bubbles: true }));
        day.dispatchEvent(new Event("change", { bubbles: true }));
    """)
    told = wait_answer(service_plan, "missing")
    assert told["missing"] == "Still needed: Plan from."
    assert not service_plan.find_element(By.CSS_SELECTOR, "[data-act=save-text]").is_displayed()
    assert shown(service_plan)["headline"] == ""
