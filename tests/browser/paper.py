"""Pages as they come out on paper: printed by the browser, counted in the PDF that it gives."""

from __future__ import annotations

import base64
import re
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver

INCH_MM = 25.4
A4 = (210 / INCH_MM, 297 / INCH_MM)
LETTER = (8.5, 11.0)
_SHEET = re.compile(rb"/Type\s*/Page\b")
_BOX = re.compile(rb"/MediaBox\s*\[\s*([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s*\]")
POINTS_A_MM = 72 / INCH_MM


def printed(browser: WebDriver, size: tuple[float, float] | None = None) -> bytes:
    """Print the open page, on paper of `size` in inches or of the size that its style asks for."""
    asked: dict[str, Any] = {"printBackground": False, "preferCSSPageSize": size is None}
    if size is not None:
        asked |= {"paperWidth": size[0], "paperHeight": size[1]}
    return base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", asked)["data"])


def sheets(pdf: bytes) -> int:
    """Count the sheets of a PDF."""
    return len(_SHEET.findall(pdf))


def sizes_mm(pdf: bytes) -> set[tuple[int, int]]:
    """Return the sizes of its sheets in whole millimetres."""
    boxes = [[float(number) for number in found] for found in _BOX.findall(pdf)]
    return {(round((x2 - x1) / POINTS_A_MM), round((y2 - y1) / POINTS_A_MM)) for x1, y1, x2, y2 in boxes}
