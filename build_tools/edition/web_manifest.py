"""The web app manifest: what a phone shows for the book on its Home Screen."""

from __future__ import annotations

import json
from pathlib import Path

ICONS = "half-turn/icons"
PAPER = "#ffffff"


def write_web_manifest(site: Path, *, name: str, short_name: str, description: str, language: str) -> None:
    """Write manifest.webmanifest into the built `site`, before its edition is made.

    `name` is mkdocs.yml's site_name; `short_name` stands under the icon, where some twelve letters have room.
    Every address is relative, so the book works from any folder of a host.
    """
    manifest = {
        "name": name,
        "short_name": short_name,
        "description": description,
        "lang": language,
        "start_url": "./index.html",
        "scope": "./",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            _icon("icon.svg", sizes="any", kind="svg+xml", purpose="any"),
            _icon("icon-192.png", sizes="192x192", kind="png", purpose="any"),
            _icon("icon-512.png", sizes="512x512", kind="png", purpose="any"),
            _icon("icon-maskable-512.png", sizes="512x512", kind="png", purpose="maskable"),
        ],
    }
    text = json.dumps(manifest, ensure_ascii=False, indent=1)
    (site / "manifest.webmanifest").write_text(text + "\n", encoding="utf-8")


def _icon(name: str, *, sizes: str, kind: str, purpose: str) -> dict[str, str]:
    return {"src": f"{ICONS}/{name}", "sizes": sizes, "type": f"image/{kind}", "purpose": purpose}
