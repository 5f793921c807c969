"""The countdown: tones at their times, the long one as the start, nobody hurried."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.work_sheet import (
    choose_start,
    empty_sheet,
    kept_sheet,
    open_sheet,
    press,
    take_common_window,
    wait,
    wait_answer,
    wait_runtime,
    write,
)

LEAD_S = 3.4
ZERO_S = 4.25
RATE = 48_000
ONSETS = f"""
const done = arguments[0];
const context = new OfflineAudioContext(1, 6 * {RATE}, {RATE});
const book = document.querySelector("link[rel=stylesheet][href*=half-turn]").href.replace(/half-turn.*/, "");
import(`${{book}}half-turn/page/calculator.js`)
  .then(({{ parts }}) => parts["tones.js"].scheduleTones(context, {ZERO_S}))
  .then(() => context.startRendering())
  .then((sound) => {{
    const heard = sound.getChannelData(0);
    const found = [];
    let quiet = Infinity; // samples since anything was heard
    for (let at = 0; at < heard.length; at += 1) {{
      if (Math.abs(heard[at]) < 0.01) quiet += 1;
      else {{
        if (quiet > {RATE} / 100) found.push({{ from: at / {RATE}, to: 0, loudest: 0 }});
        quiet = 0;
        const last = found[found.length - 1];
        last.to = at / {RATE};
        last.loudest = Math.max(last.loudest, Math.abs(heard[at]));
      }}
    }}
    done(found);
  }}, (fault) => done(String(fault)));
"""
LISTEN = """
window.tones = [];
const start = OscillatorNode.prototype.start;
window.unlisten = () => { OscillatorNode.prototype.start = start; };
OscillatorNode.prototype.start = function (at) {
  window.tones.push({ at, context: this.context });
  return start.call(this, at);
};
"""
HEARD = """
const { at, context } = window.tones.at(-3); // two short ones answer the stop
let apart = Infinity;
const end = performance.now() + 200;
while (performance.now() < end) apart = Math.min(apart, performance.now() - 1000 * context.currentTime);
return { heard: 1000 * (at + context.outputLatency) + apart, tells: context.outputLatency > 0 };
"""
TAP = """
const event = new PointerEvent("pointerdown", { isPrimary: true, button: 0, bubbles: true });
document.querySelector(arguments[0]).dispatchEvent(event);
return event.timeStamp;
"""


@pytest.fixture
def watch(browser: WebDriver, address: str) -> Iterator[WebDriver]:
    """An empty fold-time sheet with its stopwatch open, started by a countdown of a few seconds."""
    empty_sheet(browser, address, "fold-time")
    open_watch(browser)
    browser.execute_script(LISTEN)
    yield browser
    browser.execute_script("unlisten(); document.querySelector('dialog[open]')?.close();")


def open_watch(browser: WebDriver) -> None:
    """Open the stopwatch; its shortest lead is made shorter, so that no test waits ten seconds."""
    browser.execute_script("document.querySelector('dialog[open]')?.close()")
    press(browser, "[data-act=open-stopwatch]")
    browser.execute_script(
        "const lead = document.querySelector('[data-choice=lead]');"
        "lead.options[0].value = arguments[0]; lead.selectedIndex = 0;",
        str(LEAD_S),
    )
    choose_start(browser, "countdown")


def click(browser: WebDriver, selector: str) -> None:
    """Click as a person does: a browser plays no sound for a script's own click."""
    browser.execute_async_script("setTimeout(arguments[0], 600)")  # longer than a thumb bounces
    browser.find_element("css selector", f"dialog[open] {selector}").click()


def count_down(browser: WebDriver) -> None:
    """Try the sound where that comes first, and start a countdown."""
    if browser.execute_script("return document.querySelector('[data-press]').textContent") == "Try the sound":
        click(browser, "[data-press]")
        wait(browser, "return document.querySelector('[data-press]').textContent === 'Count down'")
    click(browser, "[data-press]")
    wait_state(browser, "counting")


def wait_state(browser: WebDriver, state: str) -> None:
    """Wait until the stopwatch is `state`."""
    wait(browser, f"return document.querySelector('[data-stopwatch]').dataset.state === '{state}'")


def tap(browser: WebDriver, selector: str) -> float:
    """Touch the glass somewhere; give the touch's own timestamp in ms."""
    stamp: float = browser.execute_script(TAP, selector)
    return stamp


def rest(browser: WebDriver) -> None:
    """Let half a second go by."""
    browser.execute_async_script("setTimeout(arguments[0], 500)")


def rows(browser: WebDriver) -> list[dict[str, Any]]:
    """The runs on the sheet that hold anything: text, start, what is said of it, and why struck out."""
    found: list[dict[str, Any]] = browser.execute_script("""
        return [...document.querySelectorAll("[data-rows=runs_s] [data-row]")].map((row) => ({
            text: row.querySelector("input").value, started: row.dataset.started ?? "",
            tone: row.dataset.tone ?? "", struck: row.dataset.struck ?? null,
        })).filter(({ text, struck }) => text !== "" || struck !== null);
    """)
    return found


def state(browser: WebDriver) -> str:
    """What the stopwatch says."""
    return str(browser.execute_script("return document.querySelector('[data-stopwatch-state]').textContent"))


def inputs(browser: WebDriver) -> dict[str, Any]:
    """What the sheet would ask its calculator, read by the page's own module."""
    found: dict[str, Any] = browser.execute_async_script("""
        const done = arguments[0];
        const book = document.querySelector("link[rel=stylesheet][href*=half-turn]").href
            .replace(/half-turn.*/, "");
        import(`${book}half-turn/page/calculator.js`).then(({ parts }) =>
            done(parts["form.js"].readSheet(document.querySelector("section[data-calculator]")).inputs));
    """)
    return found


def ways(browser: WebDriver) -> list[str]:
    """The ways whose figures go to the calculator."""
    return [row["way"] for row in inputs(browser)["timing"]]


def test_the_tones_are_rendered_at_their_times(watch: WebDriver) -> None:
    """Three short tones a second apart, the long one at zero; each within a millisecond of its time."""
    found = watch.execute_async_script(ONSETS)
    assert [round(tone["from"] - ZERO_S) for tone in found] == [-3, -2, -1, 0]
    assert max(abs(tone["from"] - ZERO_S - round(tone["from"] - ZERO_S)) for tone in found) < 0.001
    assert [round(tone["to"] - tone["from"], 2) for tone in found] == [0.12, 0.12, 0.12, 1.0]
    assert min(tone["loudest"] for tone in found) > 0.9  # as loud as samples go


def test_the_run_starts_as_the_tone_is_heard(watch: WebDriver) -> None:
    """The time written down runs from the long tone, its way out of the phone included, to the tap."""
    count_down(watch)
    wait_state(watch, "running")
    rest(watch)
    stopped = tap(watch, "[data-digits]")  # anywhere
    wait_state(watch, "stopped")
    told = watch.execute_script(HEARD)
    (run,) = rows(watch)
    assert float(run["text"]) == pytest.approx((stopped - told["heard"]) / 1000, abs=0.015)
    assert (run["started"], run["tone"], run["struck"]) == (
        "countdown",
        "" if told["tells"] else "untold",
        None,
    )
    ats = [tone["at"] for tone in watch.execute_script("return tones.map(({ at }) => ({ at }))")][-6:-2]
    assert [round(later - earlier, 6) for earlier, later in pairwise(ats)] == [1, 1, 1]


def test_a_delay_that_the_browser_does_not_tell_is_said_and_counted(watch: WebDriver) -> None:
    """Where the browser does not say how late its sound is, the run says so and the delay's figures count."""
    watch.execute_script(
        "Object.defineProperty(AudioContext.prototype, 'outputLatency', { value: 0, configurable: true })"
    )
    try:
        count_down(watch)
        wait_state(watch, "running")
        rest(watch)
        tap(watch, "[data-digits]")
        wait_state(watch, "stopped")
    finally:
        watch.execute_script("delete AudioContext.prototype.outputLatency")
    (run,) = rows(watch)
    assert (run["started"], run["tone"]) == ("countdown", "untold")
    how = watch.execute_script("return document.querySelector('[data-how]').textContent")
    assert how == "Started at the long tone. This browser does not say how late its sound comes out."
    assert "output-delay" in ways(watch)


@pytest.mark.parametrize("where", ["[data-press]", "[data-digits]"])
def test_one_tap_cancels_a_countdown(watch: WebDriver, where: str) -> None:
    """While it counts, a tap anywhere ends it: nothing is timed, nothing struck out, the lock let go."""
    count_down(watch)
    tap(watch, where)
    assert (state(watch), rows(watch)) == ("Cancelled. Nothing was timed.", [])
    rest(watch)
    held = watch.execute_async_script(
        "navigator.locks.query().then(({ held }) => arguments[0]("
        "held.filter(({ name }) => name.endsWith('/stopwatch')).length))"
    )
    assert held == 0
    wait_state(watch, "ready")


def test_a_lip_not_let_go_is_no_run_and_no_strike(watch: WebDriver) -> None:
    """Not ready at the tone: the run is dropped and shown as dropped, also after a reload."""
    count_down(watch)
    wait_state(watch, "running")
    press(watch, "dialog[open] [data-act=not-let-go]")
    assert (rows(watch), state(watch)) == (
        [],
        "Dropped: the lip was not let go. Ease it back, and take your time.",
    )
    line = "return document.querySelector('[data-dropped-line]').textContent"
    assert watch.execute_script(line) == "Dropped because the lip was not let go: 1. They count for nothing."
    assert kept_sheet(watch, "fold-time")["timed"] == {"dropped": "1"}


def test_a_tap_just_after_the_tone_was_meant_for_the_countdown(watch: WebDriver) -> None:
    """No fold ends in a few tenths: such a tap drops the run."""
    count_down(watch)
    watch.execute_async_script("""
        const [done] = arguments;
        const dialog = document.querySelector("[data-stopwatch]");
        new MutationObserver((_, seen) => {
            if (dialog.dataset.state !== "running") return;
            seen.disconnect();
            const tap = { isPrimary: true, button: 0, bubbles: true };
            dialog.querySelector("[data-digits]").dispatchEvent(new PointerEvent("pointerdown", tap));
            done();
        }).observe(dialog, { attributes: true });
    """)
    assert rows(watch) == []


def test_a_screen_that_is_left_ends_the_countdown(watch: WebDriver) -> None:
    """Nobody can hear a countdown behind a locked screen: it is cancelled, not run on."""
    count_down(watch)
    watch.execute_script("document.dispatchEvent(new Event('visibilitychange'))")
    assert (state(watch), rows(watch)) == ("Cancelled: the screen was locked or left.", [])


def test_a_countdown_run_cut_off_by_a_reload_is_struck_out(watch: WebDriver, address: str) -> None:
    """A reload strikes the run out and still knows how it was started."""
    count_down(watch)
    wait_state(watch, "running")
    watch.execute_script("unlisten()")
    open_sheet(watch, address, "fold-time")
    wait(watch, "return document.querySelector('[data-struck]')")
    (run,) = rows(watch)
    assert (run["text"], run["started"]) == ("", "countdown")
    assert run["struck"].startswith("Struck out: the page was loaded again during the run begun at ")
    watch.execute_script("window.unlisten = () => {}")


def test_starts_that_are_mixed_are_said(watch: WebDriver) -> None:
    """Each run goes to the calculator with its own start, and the answer says that they differ."""
    choose_start(watch, "helper")
    tap(watch, "[data-press]")
    rest(watch)
    tap(watch, "[data-digits]")
    press(watch, "[data-act=close-stopwatch]")
    write(watch, "runs_s[1]", "18.9")
    take_common_window(watch)
    first, second = inputs(watch)["runs_s"]
    assert (first["started"], second) == ("helper", 18.9)
    write(watch, "runs_s[0]", "18.6")
    wait_runtime(watch)
    reasons = wait_answer(watch)["reasons"]
    assert any(line.startswith("The runs were not all started in the same way.") for line in reasons)


def test_written_runs_share_the_start_that_the_sheet_is_told(watch: WebDriver) -> None:
    """Written runs are taken as started by hand until the sheet is told otherwise, and so is the stop."""
    press(watch, "[data-act=close-stopwatch]")
    write(watch, "runs_s[0]", "18.6")
    assert (inputs(watch)["runs_s"], inputs(watch)["stopped"]) == ([18.6], "sharp")
    for name, value in (("typed", "helper"), ("stopped", "no-longer-moves")):
        watch.execute_script(
            "const choice = document.querySelector(`[data-timed=${arguments[0]}]`);"
            "choice.value = arguments[1]; choice.dispatchEvent(new Event('change', { bubbles: true }));",
            name,
            value,
        )
    assert inputs(watch)["runs_s"] == [{"fold_time_s": 18.6, "started": "helper"}]
    assert inputs(watch)["stopped"] == "no-longer-moves"
    assert kept_sheet(watch, "fold-time")["timed"] == {"typed": "helper", "stopped": "no-longer-moves"}


def test_the_choices_are_kept_on_the_phone(watch: WebDriver, address: str) -> None:
    """The way of starting and the lead are there again after a reload."""
    watch.execute_script(
        "const lead = document.querySelector('[data-choice=lead]');"
        "lead.value = '20'; lead.dispatchEvent(new Event('change', { bubbles: true }));"
    )
    choose_start(watch, "helper")
    watch.execute_script("unlisten()")
    open_sheet(watch, address, "fold-time")
    chosen = "return [...document.querySelectorAll('[data-choice]')].map(({ value }) => value)"
    assert watch.execute_script(chosen) == ["helper", "20"]
    watch.execute_script("localStorage.clear(); window.unlisten = () => {}")
