"""Draw the book's own icon, a nut seen from its end with half a turn round it, and render it with Chromium.

Run by hand after a change: `python build_tools/browser/icons/draw_icons.py`; what it writes is committed.
"""

from __future__ import annotations

import math
import subprocess
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
INK, GROUND, TOUCH = "#16181a", "#ffffff", "#00574b"


def icon(*, scale: float) -> str:
    """The icon as SVG on a square of 512; `scale` leaves a margin for masks that cut the edge away."""
    nut = "L".join(f"{105 * math.cos(a):.2f},{105 * math.sin(a):.2f}" for a in _sixths())
    hole = "M-52,0a52,52 0 1 0 104,0a52,52 0 1 0 -104,0Z"
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512">
<rect width="512" height="512" fill="{GROUND}"/>
<g transform="translate(256 {256 + 44 * scale:g}) scale({scale})">
<path fill="{INK}" fill-rule="evenodd" d="M{nut}Z{hole}"/>
<path fill="none" stroke="{TOUCH}" stroke-width="44" d="M-172,0A172,172 0 0 1 172,0"/>
<path fill="{TOUCH}" d="M108,-6L236,-6L172,84Z"/>
</g>
</svg>
"""


def _sixths() -> list[float]:
    return [math.radians(60 * corner) for corner in range(6)]


def render(svg: str, target: Path, size: int) -> None:
    """Write `svg` as a PNG of `size` by `size` pixels."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "icon.html"
        image = svg.replace("<svg ", f'<svg width="{size}" height="{size}" style="display:block" ')
        page.write_text(f"<!doctype html><body style='margin:0'>{image}", encoding="utf-8")
        command = [
            "chromium",
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--hide-scrollbars",
            f"--user-data-dir={folder}/profile",
            f"--window-size={size},{size}",
            f"--screenshot={target}",
            page.as_uri(),
        ]
        subprocess.run(command, check=True, capture_output=True)


if __name__ == "__main__":
    plain, masked = icon(scale=1.0), icon(scale=0.72)
    (HERE / "icon.svg").write_text(plain, encoding="utf-8")
    render(plain, HERE / "icon-192.png", 192)
    render(plain, HERE / "icon-512.png", 512)
    render(masked, HERE / "icon-maskable-512.png", 512)
