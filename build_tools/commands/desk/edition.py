"""Return an edition that is served at the desk the one line that lets it follow the author's saving.

The built book stays as it is. Only the copy in serve's own folder gets the line, in half-turn/page/start.js,
and the new hash in its edition.json, so that the service worker takes it for what it is: another edition.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from build_tools.edition.edition import edition_id

START = "half-turn/page/start.js"
DESK = "half-turn-serve"
"""Addresses below this belong to serve, not to the book."""

LINE = f'\nimport("../../{DESK}/desk.js").catch(() => {{}}); // added by build_tools serve\n'


def follow_the_desk(site: Path) -> str:
    """Add the line to the edition in `site` and return the edition's new id."""
    script = site / START
    content = script.read_bytes() + LINE.encode("utf-8")
    script.write_bytes(content)
    record_file = site / "edition.json"
    record = json.loads(record_file.read_text(encoding="utf-8"))
    entry = next(file for tier in record["tiers"].values() for file in tier if file["url"] == START)
    entry.update(sha256=hashlib.sha256(content).hexdigest(), bytes=len(content))
    entry.pop("packed", None)
    record["edition"] = edition_id(record["tiers"])
    record_file.write_text(json.dumps(record, ensure_ascii=False), encoding="utf-8")
    return str(record["edition"])
