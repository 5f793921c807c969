"""Writes the line of each block, figure and step into the source before Markdown reads it.

`/// hazard | lip-path` becomes `/// hazard | lip-path @14`, `{{ id }}` becomes `{{ id @14 }}` and
`{#step}` becomes `{#step @14}`. Where Markdown does not recognize what an author wrote, such as a block with
the wrong indent, its stamp is missing from what comes out, and so its line can be named.
"""

from __future__ import annotations

import re

from build_tools.reading.lines import FIGURE_USE, STEP_ID, Block, Scan

_OPEN = re.compile(r"^( *)/{3,}[ \t]*([\w-]+)[ \t]*(?:\|[ \t]*(.*?))?[ \t]*$")


def stamped_body(scan: Scan) -> str:
    """Return the source after its front matter, with stamps.

    Authors write three slashes everywhere. Here an outer block gets more slashes than an inner one, since the
    block parser closes the outer block at the first end with equally many slashes.
    """
    lines = scan.text.split("\n")
    masked = scan.masked.split("\n")
    steps = {step.line for step in scan.steps}
    for number in range(scan.body_line, len(lines) + 1):
        lines[number - 1] = _stamp_figures(lines[number - 1], masked[number - 1], number)
        if number in steps:
            lines[number - 1] = STEP_ID.sub(rf" {{#\g<id> @{number}}}", lines[number - 1])
    deepest = max((block.depth for block in scan.blocks), default=0)
    for block in scan.blocks:
        _stamp_block(lines, block, slashes="/" * (3 + deepest - block.depth))
    return "\n".join(lines[scan.body_line - 1 :])


def expected_stamps(scan: Scan) -> dict[tuple[str, int], str]:
    """Return the stamps that must come out of Markdown: (kind, line) to what the author wrote on that line.

    The kind is "block", "figure" or "step".
    """
    expected = {("block", block.line): f"the {block.name} block" for block in scan.blocks}
    expected |= {
        ("figure", use.line): f"the figure '{use.id}'"
        for use in scan.figure_uses
        if use.line >= scan.body_line
    }
    return expected | {("step", step.line): f"the step '{step.id}'" for step in scan.steps if step.id}


def _stamp_figures(line: str, masked: str, number: int) -> str:
    for use in reversed(list(FIGURE_USE.finditer(masked))):
        part = f".{use['part']}" if use["part"] else ""
        line = f"{line[: use.start()]}{{{{ {use['id']}{part} @{number} }}}}{line[use.end() :]}"
    return line


def _stamp_block(lines: list[str], block: Block, slashes: str) -> None:
    opening = _OPEN.match(lines[block.line - 1])
    if opening is None:
        return
    argument = f"{opening[3]} " if opening[3] else ""
    lines[block.line - 1] = f"{opening[1]}{slashes} {opening[2]} | {argument}@{block.line}"
    if block.end is not None:
        indent = re.match(" *", lines[block.end - 1])
        lines[block.end - 1] = f"{indent[0] if indent else ''}{slashes}"
