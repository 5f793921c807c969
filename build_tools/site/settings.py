"""What MkDocs itself has against a mkdocs.yml, told as the checks tell theirs."""

from __future__ import annotations

import logging
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from build_tools.book.configuration import CONFIGURATION, read_configuration
from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem
from build_tools.site.listening import Listener

_QUOTED = re.compile(r"'(\w+)'")
_FIX = "see the table of settings in the author guide"


def settings_problems(project: Path) -> list[Problem]:
    """Return what keeps MkDocs from loading mkdocs.yml; nothing where our own checks refuse it already."""
    keys, found = read_configuration(project)
    if found:
        return []
    said, folders = _loaded(project)
    return [*(_stopped(each, keys, project) for each in said), *_icons(keys, folders)]


def _stopped(said: str, keys: Mapping[str, Node], project: Path) -> Problem:
    line = next((keys[key].line for key in _QUOTED.findall(said) if key in keys), 1)
    what = " ".join(said.replace(f"{project.resolve()}/", "").split())
    return Problem(CONFIGURATION, line, what, "MkDocs stops at it, and no book is built", _FIX)


def _loaded(project: Path) -> tuple[list[str], list[Path]]:
    """Return what MkDocs has against the settings, and where it looks for the theme's files."""
    os.environ["NO_MKDOCS_2_WARNING"] = "1"  # the theme's notice about another program, not used here
    from mkdocs.config import load_config
    from mkdocs.exceptions import Abort, MkDocsException

    heard = Listener()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(heard)
    try:
        config = load_config(str(project / CONFIGURATION), strict=True)
    except Abort as abort:  # MkDocs stops this way after what it has logged
        return heard.said or [abort.format_message()], []
    except MkDocsException as mistake:
        return [*heard.said, mistake.format_message()], []
    finally:
        logger.removeHandler(heard)
    return [], [Path(folder) for folder in config.theme.dirs]


def _icons(keys: Mapping[str, Node], folders: Sequence[Path]) -> list[Problem]:
    why, fix = "MkDocs stops where the icon would be drawn, and no book is built", "name an icon of the theme"
    return [
        Problem(CONFIGURATION, icon.line, f"the theme has no icon '{icon.written}'", why, fix)
        for icon in _named_icons(keys["theme"], within=False)
        if folders and not any((folder / ".icons" / f"{icon.written}.svg").is_file() for folder in folders)
    ]


def _named_icons(node: Node, *, within: bool) -> Iterator[Node]:
    """Give every name under a key `icon`, at whatever depth of the theme's settings it stands."""
    if isinstance(node.value, dict):
        for key, part in node.value.items():
            yield from _named_icons(part, within=within or key == "icon")
    elif isinstance(node.value, list):
        for part in node.value:
            yield from _named_icons(part, within=within)
    elif within and node.written:
        yield node
