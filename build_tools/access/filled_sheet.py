"""Fill a calculator's work sheet in an open page with inputs as they go over the wire."""

from __future__ import annotations

import json
import re
from typing import Any

from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver

from build_tools.shown.units import SYSTEMS, from_wire, shown_units


def fill(browser: WebDriver, inputs: dict[str, Any]) -> None:
    """Fill a sheet with inputs as they go over the wire, quantities in the units that the sheet shows."""
    browser.execute_script(
        """
        const [values, ticks, rows] = arguments;
        const tell = (entry, name) => entry.dispatchEvent(new Event(name, { bubbles: true }));
        for (const [list, count] of Object.entries(rows)) {
            const place = document.querySelector(`[data-rows="${list}"]`);
            const add = place.querySelector("[data-act=add-row]");
            while (place.querySelectorAll("[data-row]").length < count) add.click();
        }
        for (const [selector, text] of values) {
            const entry = document.querySelector(selector);
            if (!entry) throw new Error(`no ${selector}`);
            entry.value = text;
            tell(entry, "input");
        }
        for (const selector of ticks) {
            const box = document.querySelector(selector);
            if (!box.checked) box.click();
        }
        tell(document.querySelector("[data-sheet] input"), "change");
        """,
        *_entries(browser, inputs),
    )


def _entries(
    browser: WebDriver, inputs: dict[str, Any]
) -> tuple[list[tuple[str, str]], list[str], dict[str, int]]:
    """What to write, what to tick, and how many rows each list needs."""
    values: list[tuple[str, str]] = []
    ticks: list[str] = []
    for path, value in leaves(inputs):
        if value is None:
            ticks.append(f'[data-null-for="{path}"]')
        elif path.startswith("closed_weekdays"):
            ticks.append(f'[name="closed_weekdays[0].weekday"][value="{value}"]')
        elif browser.find_elements(By.CSS_SELECTOR, f'[type=radio][name="{first_row(path)}"]'):
            chosen = json.dumps(value) if isinstance(value, bool) else value
            ticks.append(f'[name="{path}"][value="{chosen}"]')
        else:
            values.append((f'[name="{path}"]', written(browser, path, value)))
    lists = {name: len(rows) for name, rows in inputs.items() if isinstance(rows, list)}
    lists.pop("closed_weekdays", None)
    return values, ticks, lists


def leaves(inputs: Any, path: str = "") -> list[tuple[str, Any]]:
    """Every single input by its place: ("readings[0].fold_time_s", 16.4)."""
    if isinstance(inputs, dict):
        return [leaf for name, item in inputs.items() for leaf in leaves(item, f"{path}.{name}".lstrip("."))]
    if isinstance(inputs, list):
        return [leaf for at, item in enumerate(inputs) for leaf in leaves(item, f"{path}[{at}]")]
    return [(path, inputs)]


def first_row(path: str) -> str:
    """The same place in the first row of its list, which is on the page from the start."""
    return re.sub(r"\[\d+\]", "[0]", path)


def written(browser: WebDriver, path: str, value: Any) -> str:
    """A value as a person writes it, in the unit that stands beside its field."""
    name = re.sub(r"\[\d+\]", "", path).rpartition(".")[2]
    wire = browser.execute_script(
        "return document.querySelector(`[data-input=\"${arguments[0]}\"]`)?.dataset.wireUnit ?? ''",
        first_row(path),
    )
    units = shown_units(wire, name)
    if not units:
        return str(value).removeprefix("-") if name == "half_turns_min" else str(value)
    system = browser.execute_script(
        "return document.querySelector('[data-units-choice][aria-pressed=true]').dataset.unitsChoice"
    )
    return repr(from_wire(value, units[SYSTEMS.index(system)]))
