"""The big stopwatch: two presses' own timestamps, nothing lost, doubtful runs struck out."""

from __future__ import annotations

from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.keys import Keys

from tests.browser.work_sheet import choose_start, empty_sheet, open_sheet, press, wait

PRESS = """
window.pressWatch ??= () => {
    const event = new PointerEvent("pointerdown", { isPrimary: true, button: 0, bubbles: true });
    document.querySelector("[data-press]").dispatchEvent(event);
    return event.timeStamp;
};
"""


@pytest.fixture
def watch(browser: WebDriver, address: str) -> WebDriver:
    """An empty fold-time sheet with its stopwatch open."""
    empty_sheet(browser, address, "fold-time")
    open_watch(browser)
    return browser


def open_watch(browser: WebDriver) -> None:
    """Open the stopwatch of the page."""
    browser.execute_script("const open = document.querySelector('dialog[open]'); open?.close();")
    press(browser, "[data-act=open-stopwatch]")
    choose_start(browser, "by-hand")
    browser.execute_script(PRESS)


def press_twice(browser: WebDriver, apart_ms: int, between: str = "") -> float:
    """Press, wait, do something, press again; give the seconds between the two events' timestamps."""
    press_once(browser)
    seconds: float = browser.execute_async_script(
        f"""
        const [apart, done] = arguments;
        setTimeout(() => {{ {between}; done((pressWatch() - firstPress) / 1000); }}, apart);
        """,
        apart_ms,
    )
    return seconds


def press_once(browser: WebDriver) -> None:
    """Press, a fifth of a second after whatever was before: closer together two presses count as a bounce."""
    script = "setTimeout(() => { window.firstPress = pressWatch(); arguments[0](); }, 200)"
    browser.execute_async_script(script)


def runs(browser: WebDriver) -> list[dict[str, Any]]:
    """The runs on the sheet that hold anything: text, and why struck out (null where not)."""
    found: list[dict[str, Any]] = browser.execute_script("""
        const rows = [...document.querySelectorAll("[data-rows=runs_s] [data-row]")];
        return rows
            .map((row) => ({ text: row.querySelector("input").value, struck: row.dataset.struck ?? null }))
            .filter(({ text, struck }) => text !== "" || struck !== null);
    """)
    return found


def lock_holders(browser: WebDriver) -> list[str]:
    """How the book's stopwatch lock is held now."""
    found: list[str] = browser.execute_async_script(
        "navigator.locks.query().then(({ held }) => arguments[0]("
        "held.filter(({ name }) => name.endsWith('/handbook/stopwatch')).map(({ mode }) => mode)))"
    )
    return found


def test_a_run_is_the_difference_of_the_presses_timestamps(watch: WebDriver) -> None:
    """The time written down is that between the two events, whatever the page was doing in between."""
    busy = "const end = performance.now() + 300; while (performance.now() < end);"
    seconds = [press_twice(watch, 400), press_twice(watch, 900, busy)]
    assert [run["text"] for run in runs(watch)] == [f"{each:.2f}" for each in seconds]
    assert [run["struck"] for run in runs(watch)] == [None, None]


def test_a_bounce_of_the_thumb_is_no_second_press(watch: WebDriver) -> None:
    """Two presses within a few hundredths are one: the run goes on."""
    watch.execute_async_script("setTimeout(() => { pressWatch(); pressWatch(); arguments[0](); }, 200)")
    assert runs(watch) == []
    assert (
        watch.execute_script("return document.querySelector('dialog[data-stopwatch]').dataset.state")
        == "running"
    )
    press_once(watch)
    assert len(runs(watch)) == 1


def test_the_keyboard_presses_too(watch: WebDriver) -> None:
    """Space and enter start and stop like a finger, and a key held down presses once."""
    button = watch.switch_to.active_element
    assert button.get_attribute("data-press") is not None
    watch.execute_async_script("setTimeout(arguments[0], 100)")
    button.send_keys(Keys.SPACE)
    wait(watch, "return document.querySelector('[data-stopwatch]').dataset.state === 'running'")
    watch.execute_script("""document.querySelector("[data-press]").dispatchEvent(
        new KeyboardEvent("keydown", { key: " ", repeat: true, bubbles: true, cancelable: true }))""")
    watch.execute_async_script("setTimeout(arguments[0], 250)")
    button.send_keys(Keys.ENTER)
    wait(watch, "return document.querySelector('[data-stopwatch]').dataset.state === 'stopped'")
    assert [run["struck"] for run in runs(watch)] == [None]


def test_a_run_during_which_the_screen_was_left_is_struck_out(watch: WebDriver) -> None:
    """A locked screen or another app in front spoils the run: it is written down, struck out."""
    seconds = press_twice(watch, 300, "document.dispatchEvent(new Event('visibilitychange'))")
    assert runs(watch) == [
        {"text": f"{seconds:.2f}", "struck": "Struck out: the screen was locked or left during this run."}
    ]


def test_a_run_during_which_the_phone_slept_is_struck_out(watch: WebDriver) -> None:
    """Where the wall clock went on and the page's clock did not, the time is not believed."""
    press_twice(
        watch,
        300,
        "const now = Date.now; Date.now = () => now.call(Date) + 5000; setTimeout(() => { Date.now = now; })",
    )
    assert [run["struck"] for run in runs(watch)] == [
        "Struck out: the phone slept, or its clock was set, during this run."
    ]


def test_a_run_is_held_against_a_swap(watch: WebDriver) -> None:
    """While a run is timed no tab may swap the edition; after it, any may."""
    press_once(watch)
    wait(watch, "return document.querySelector('[data-stopwatch]').dataset.state === 'running'")
    assert lock_holders(watch) == ["shared"]
    press_once(watch)
    watch.execute_async_script("setTimeout(arguments[0], 100)")
    assert lock_holders(watch) == []


def test_a_stopwatch_put_away_strikes_its_run_out(watch: WebDriver) -> None:
    """Closing the stopwatch in the middle of a run loses nothing and counts nothing."""
    press_once(watch)
    press(watch, "[data-act=close-stopwatch]")
    wait(watch, "return document.querySelector('[data-struck]')")
    assert [run["struck"] for run in runs(watch)] == [
        "Struck out: the stopwatch was put away before it was stopped."
    ]


def test_a_run_is_struck_out_and_put_back_at_the_stopwatch(watch: WebDriver) -> None:
    """One press strikes a run out there and then, another puts it back."""
    press_twice(watch, 300)
    press(watch, "[data-stopwatch-runs] button")
    assert [run["struck"] for run in runs(watch)] == [""]
    press(watch, "[data-stopwatch-runs] button")
    assert [run["struck"] for run in runs(watch)] == [None]


def test_timings_go_to_the_plan_at_the_setting_where_the_nut_stands(browser: WebDriver, address: str) -> None:
    """On the turn plan a run fills the blank timing first, then adds one at the same setting."""
    empty_sheet(browser, address, "turn-plan")
    press(browser, "[data-act=turned][data-turn='1']")
    press(browser, "[data-row='0'] [data-act=strike]")
    open_watch(browser)
    first, second = press_twice(browser, 300), press_twice(browser, 400)
    rows = browser.execute_script("""
        return [...document.querySelectorAll("[data-rows=readings] [data-row]:not([data-struck])")]
            .map((row) => [...row.querySelectorAll("input[type=text]")].map((entry) => entry.value));
    """)
    assert rows == [["1", f"{first:.2f}"], ["1", f"{second:.2f}"]]


def test_a_reload_strikes_the_run_out_and_keeps_the_finished_ones(watch: WebDriver, address: str) -> None:
    """A run cut off by a reload is written down as such; runs finished before it stand as they were."""
    seconds = press_twice(watch, 300)
    press_once(watch)
    wait(watch, "return Object.keys(localStorage).some((key) => key.endsWith('stopwatch-running'))")
    open_sheet(watch, address, "fold-time")
    wait(watch, "return document.querySelector('[data-struck]')")
    found = runs(watch)
    assert [run["text"] for run in found] == [f"{seconds:.2f}", ""]
    assert found[0]["struck"] is None
    assert found[1]["struck"].startswith("Struck out: the page was loaded again during the run begun at ")
    open_sheet(watch, address, "fold-time")
    assert runs(watch) == found
