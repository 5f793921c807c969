"""Your own timing: folds of a drawn lip, their statistics, and what of them counts on a sheet."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.registers.registers import Registers
from build_tools.sheets.timing.own_timing import FIGURES
from calculators.shared.statistics import mean_and_sd
from tests.browser.work_sheet import empty_sheet, open_sheet, press, wait

MODULE = """
const [late, done] = arguments;
const book = document.querySelector("link[rel=stylesheet][href*=half-turn]").href.replace(/half-turn.*/, "");
const files = ["calculator", "leveler"].map((name) => import(`${book}half-turn/page/${name}.js`));
Promise.all(files).then((bundles) => {
  const parts = Object.assign({}, ...bundles.map((bundle) => bundle.parts));
  const section = document.querySelector("section[data-calculator]");
  const figures = parts["own_habit.js"].ownFigures(section);
  done({ stop: parts["own_habit.js"].stopHabit(late, figures),
    start: parts["own_habit.js"].startHabit(late, figures),
    timing: parts["form.js"].readSheet(section).inputs.timing });
});
"""
KEEP = """
const [stop, done] = arguments;
const book = document.querySelector("link[rel=stylesheet][href*=half-turn]").href.replace(/half-turn.*/, "");
import(`${book}half-turn/page/leveler.js`).then(({ parts }) => {
  parts["own_habit.js"].keepOwnTiming({ stop, start: [], used: true });
  done();
});
"""
FAST = """
window.plain = [Math.random, window.setTimeout.bind(window)];
Math.random = () => 0; // the shortest wait and the shortest fold
window.setTimeout = (work, ms) =>
  window.plain[1](() => {
    window.firedAt = performance.now();
    work();
  }, ms);
"""


@pytest.fixture
def sheet(browser: WebDriver, address: str) -> WebDriver:
    """An empty fold-time sheet on a phone that knows nobody's habit."""
    empty_sheet(browser, address, "fold-time")
    browser.execute_script(
        "document.querySelector('dialog[open]')?.close();"
        "const mine = Object.keys(localStorage).filter((key) => key.endsWith('own-timing'));"
        "for (const key of mine) localStorage.removeItem(key);"
    )
    return browser


@pytest.fixture
def figures(registers: Registers) -> dict[str, float]:
    """The registered figures by their names in the script."""
    return {name: float(registers.figures[id_].part("value")) for name, id_ in FIGURES.items()}


def habits(browser: WebDriver, late: list[float]) -> dict[str, Any]:
    """What the page makes of so many presses, s late each, and the timing that its sheet would send."""
    found: dict[str, Any] = browser.execute_async_script(MODULE, late)
    return found


def test_the_statistics_are_pythons(sheet: WebDriver, figures: dict[str, float]) -> None:
    """Mean, standard deviation and what goes to the calculator are what Python makes of the same folds."""
    chance = random.Random(12)
    for count in (2, 10, 20, 60):
        late = [chance.gauss(0.14, 0.08) for _ in range(count)]
        found, (mean, sd) = habits(sheet, late), mean_and_sd(late)
        assert sd is not None
        assert found["stop"]["mean"] == pytest.approx(mean, rel=1e-12)
        assert found["stop"]["sd"] == pytest.approx(sd, rel=1e-12)
        assert (found["stop"]["count"], found["stop"]["degrees"]) == (count, count - 1)
        doubt = math.hypot(sd / math.sqrt(count), figures["screen_delay_uncertainty_s"])
        assert found["stop"]["row"] == pytest.approx(
            {
                "bias_s": mean - figures["screen_delay_s"],
                "bias_uncertainty_s": max(figures["stop_floor_s"], doubt),
                "scatter_s": max(figures["stop_floor_s"], sd),
            },
            abs=5.1e-6,
        )
        assert found["start"]["row"]["bias_s"] == pytest.approx(-mean, abs=5.1e-6)


def test_nothing_counts_as_surer_than_the_floor(sheet: WebDriver, figures: dict[str, float]) -> None:
    """Twenty folds that agree to the millisecond still leave the registered floor."""
    found = habits(sheet, [0.12, 0.121] * 10)
    for part, floor in (("stop", "stop_floor_s"), ("start", "start_floor_s")):
        row = found[part]["row"]
        assert (row["bias_uncertainty_s"], row["scatter_s"]) == (figures[floor], figures[floor])


@pytest.mark.parametrize(("folds", "counts"), [(10, False), (20, True)])
def test_own_figures_take_the_place_from_twenty_folds_on(
    sheet: WebDriver, address: str, folds: int, *, counts: bool
) -> None:
    """From 20 folds on the stop's row is this person's, where it is chosen; the tone's row never is."""
    late = [0.25 + 0.01 * (at % 3) for at in range(folds)]
    before = {row["way"]: row for row in habits(sheet, late)["timing"]}
    sheet.execute_async_script(KEEP, late)
    open_sheet(sheet, address, "fold-time")
    found = habits(sheet, late)
    after = {row["way"]: row for row in found["timing"]}
    assert after["sharp"] == ({"way": "sharp", **found["stop"]["row"]} if counts else before["sharp"])
    assert {way: row for way, row in after.items() if way != "sharp"} == {
        way: row for way, row in before.items() if way != "sharp"
    }


def test_a_set_is_ten_folds_whose_time_is_known(sheet: WebDriver) -> None:
    """Ten presses, each so late after the drawn edge reached its mark, are kept to the millisecond."""
    press(sheet, "[data-act=open-stopwatch]")
    press(sheet, "[data-act=open-own-timing]")
    sheet.execute_script(FAST)
    late = sheet.execute_async_script("""
        const done = arguments[0];
        const dialog = document.querySelector("dialog[data-own-timing]");
        const press = dialog.querySelector("[data-own-press]");
        const lip = dialog.querySelector("[data-lip]");
        const tap = (stamp) => {
            const event = new PointerEvent("pointerdown", { isPrimary: true, button: 0, bubbles: true });
            Object.defineProperty(event, "timeStamp", { value: stamp ?? event.timeStamp });
            press.setPointerCapture = () => {};
            press.dispatchEvent(event);
        };
        new MutationObserver(() => {
            const { phase } = dialog.dataset;
            if (phase === "folding") { // stamped by us: no test waits for its thumb
                const gone = window.firedAt;
                window.plain[1](() => tap(gone + 4000 + 150), 3200);
            }
            if (phase === "idle") done(JSON.parse(localStorage.getItem(
                Object.keys(localStorage).find((key) => key.endsWith("own-timing")))).stop);
        }).observe(dialog, { attributes: true, attributeFilter: ["data-phase"] });
        tap();
    """)
    sheet.execute_script(
        "[Math.random, window.setTimeout] = window.plain;"
        "document.querySelector('dialog[data-own-timing]').close()"
    )
    assert len(late) == 10
    assert late == pytest.approx([0.15] * 10, abs=0.03)


def test_the_drawn_edge_reaches_its_mark_when_its_time_is_up(sheet: WebDriver) -> None:
    """Two pictures' time after the known moment the lip hangs; a tenth before, it does not."""
    sheet.execute_async_script("""
        const done = arguments[0];
        const book = document.querySelector("link[rel=stylesheet][href*=half-turn]").href
            .replace(/half-turn.*/, "");
        import(`${book}half-turn/page/calculator.js`).then(({ parts }) => {
            const lip = document.querySelector("[data-own-lip]");
            window.turned = [];
            const begun = performance.now();
            parts["drawn_lip.js"].fold(lip, begun, 1000);
            const look = () => {
                const now = performance.now() - begun;
                window.turned.push([now, lip.querySelector("[data-lip]").getAttribute("transform")]);
                if (now < 1200) requestAnimationFrame(look);
                else done();
            };
            look();
        });
    """)
    turned = sheet.execute_script("return turned")
    hangs = {at: how.startswith("rotate(90 ") for at, how in turned}
    assert not any(hung for at, hung in hangs.items() if at < 900)
    assert all(hung for at, hung in hangs.items() if at > 1050)
    wait(sheet, "return document.querySelector('[data-sheet]').disabled === false")
