"""mkdocs.yml as its author wrote it, and what in it contradicts what the book brings by itself."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from build_tools.places import THEME
from build_tools.reading.marked_yaml import InvalidYaml, Node, read_marked
from build_tools.reading.problems import Problem

CONFIGURATION = "mkdocs.yml"
THEME_NAME = "material"
PLUGINS = ("search", "half-turn")
_DEAD = "pages without the book's own frames have no style, no calculators, and are never kept on a phone"


def read_configuration(project: Path) -> tuple[dict[str, Node], list[Problem]]:
    """Return the keys of a project's mkdocs.yml, none where it cannot be read, and its problems."""
    try:
        root = read_marked((project / CONFIGURATION).read_text(encoding="utf-8"))
    except FileNotFoundError:
        why, fix = "it names the pages folder and the menu", "run this in the project's folder"
        return {}, [Problem(CONFIGURATION, 1, "the file is missing", why, fix)]
    except InvalidYaml as error:
        what = f"not readable as YAML: {error.message}"
        why, fix = "nothing can be built without it", "look at this line and the one above"
        return {}, [Problem(CONFIGURATION, error.line, what, why, fix)]
    if not isinstance(root.value, dict):
        why, fix = "it names the pages folder and the menu", "write its keys, such as `site_name:`"
        return {}, [Problem(CONFIGURATION, 1, "the file has no keys", why, fix)]
    return root.value, check_configuration(root.value, project)


def check_configuration(keys: Mapping[str, Node], project: Path) -> list[Problem]:
    """Return what is missing of theme and plugins, and what contradicts what the book brings by itself."""
    return [*_theme(keys, project), *_plugins(keys), *_addresses(keys)]


def _theme(keys: Mapping[str, Node], project: Path) -> list[Problem]:
    theme = keys.get("theme")
    if theme is None:
        return [_name_of_theme(1, "theme is missing")]
    parts = theme.value if isinstance(theme.value, dict) else {"name": theme}
    name, font, folder = parts.get("name"), parts.get("font"), parts.get("custom_dir")
    found = []
    if name is None or name.written != THEME_NAME:
        found.append(_name_of_theme((name or theme).line, f"the theme is not '{THEME_NAME}'"))
    if font is not None and font.value is not False:
        what, why = "fonts are on", "every page would ask another company's host for them, and wait for it"
        fix = "take `font:` out: pages are set in the phone's own letters"
        found.append(Problem(CONFIGURATION, font.line, what, why, fix))
    if folder is not None and (project / folder.written).resolve() != THEME:
        what = f"custom_dir names the folder '{folder.written}'"
        fix = "take `custom_dir:` out: the book brings its own"
        found.append(Problem(CONFIGURATION, folder.line, what, _DEAD, fix))
    return found


def _name_of_theme(line: int, what: str) -> Problem:
    return Problem(CONFIGURATION, line, what, _DEAD, f"write `name: {THEME_NAME}` under `theme:`")


def _plugins(keys: Mapping[str, Node]) -> list[Problem]:
    node = keys.get("plugins")
    items = node.value if node is not None and isinstance(node.value, (list, dict)) else []
    named = {name for item in items for name in _names(item)}
    return [
        Problem(
            CONFIGURATION,
            node.line if node is not None else 1,
            f"the plugin '{plugin}' is missing",
            _DEAD if plugin == "half-turn" else "nobody could search the book",
            f"write `- {plugin}` under `plugins:`",
        )
        for plugin in PLUGINS
        if plugin not in named
    ]


def _names(item: Node | str) -> tuple[str, ...]:
    """Return the plugins that an entry names: "search", "search:" with its options, or a mapping's key."""
    if isinstance(item, str):
        return (item,)
    return tuple(item.value) if isinstance(item.value, dict) else (item.written,)


def _addresses(keys: Mapping[str, Node]) -> list[Problem]:
    setting = keys.get("use_directory_urls")
    if setting is None or setting.value is False:
        return []
    what = "use_directory_urls is not false"
    why = "pages opened straight from a phone's files have no host to turn folders into pages"
    fix = "take the line out: the book brings it by itself"
    return [Problem(CONFIGURATION, setting.line, what, why, fix)]
