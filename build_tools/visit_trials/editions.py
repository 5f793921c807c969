"""The next edition of the real book, in which a page of an open visit lost, gained and changed a step."""

from __future__ import annotations

import shutil
from pathlib import Path

from build_tools.places import PROJECT
from build_tools.site.building import Built, build_book

PAGE = "procedures/make-the-dock-safe"
CHANGED, GAINED, LOST = "check-for-a-truck", "look-up-at-the-door", "sweep-the-platform"
"""Steps of PAGE: worked before the place and worded anew, new before it, and gone at it."""
WORDS = {
    "Look for a truck at the door, and where the lip lies.": "Look for a truck at this door.",
    "{#close-the-floor-side}\n": f"{{#close-the-floor-side}}\n4. Look up at the door. {{#{GAINED}}}\n",
}


def next_edition(scratch: Path) -> Built:
    """Build the book once more, with other steps on a page. Raises BookMistakes where it is no sound book."""
    shutil.copytree(PROJECT / "content", scratch / "content")
    shutil.copy(PROJECT / "mkdocs.yml", scratch / "mkdocs.yml")
    page = scratch / "content" / f"{PAGE}.md"
    page.write_text(other_steps(page.read_text("utf-8")), "utf-8")
    return build_book(scratch, scratch / "site")


def other_steps(text: str) -> str:
    """Return the page with the steps that are told above. Raises ValueError where it has none to change."""
    for old, new in WORDS.items():
        if old not in text:
            raise ValueError(f"{PAGE} no longer says {old!r}")
        text = text.replace(old, new)
    lines = text.splitlines(keepends=True)
    return "".join(line for line in lines if not line.endswith(f"{{#{LOST}}}\n"))
