"""Blanks out what the scanner must not read: fenced and indented code, code in backticks, comments."""

from __future__ import annotations

import re

_FENCE = re.compile(r"^ *(?P<fence>`{3,}|~{3,})")
_CODE_SPAN = re.compile(r"(?<!`)(?P<ticks>`+)(?!`)(?:(?!\n[ \t]*\n).)+?(?<!`)(?P=ticks)(?!`)", re.S)
_COMMENT = re.compile(r"<!--.*?-->", re.S)
_LIST_ITEM = re.compile(r"^ *(?:[-*+]|\d+\.)[ \t]")


def mask_code(text: str, body_line: int) -> str:
    """Return `text` with spaces in place of code and comments; its length and line ends do not change.

    The front matter (the lines before `body_line`) holds no code and stays as it is.
    """
    lines = text.split("\n")
    head = "".join(line + "\n" for line in lines[: body_line - 1])
    body = "\n".join(_mask_indented(_mask_fenced(lines[body_line - 1 :])))
    return (head + _COMMENT.sub(_blank, _CODE_SPAN.sub(_blank, body)))[: len(text)]


def _blank(match: re.Match[str]) -> str:
    return re.sub(r"[^\n]", " ", match[0])


def _mask_fenced(lines: list[str]) -> list[str]:
    masked = []
    fence = ""
    for line in lines:
        match = _FENCE.match(line)
        if fence:
            masked.append(" " * len(line))
            if match and match["fence"].startswith(fence) and line.strip() == match["fence"]:
                fence = ""
        elif match:
            fence = match["fence"]
            masked.append(" " * len(line))
        else:
            masked.append(line)
    return masked


def _mask_indented(lines: list[str]) -> list[str]:
    """Blank lines indented by four after an empty line; while a list is open they belong to an item."""
    masked = []
    in_list = in_code = False
    after_empty = True
    for line in lines:
        empty = not line.strip()
        indented = line.startswith("    ")
        if not empty and not indented:
            in_list = bool(_LIST_ITEM.match(line)) or (in_list and not after_empty)
        in_code = (indented and not in_list and (after_empty or in_code)) or (in_code and empty)
        masked.append(" " * len(line) if in_code else line)
        after_empty = empty
    return masked
