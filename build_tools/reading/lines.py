"""The only line scanner: finds blocks, figures, steps, links and headings in a raw source, with their lines.

It reads the file before Markdown does, because neither MkDocs nor Python-Markdown keeps line numbers.
Code (fenced, indented, in backticks) and comments are blanked out first, so that nothing in them counts.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from itertools import takewhile

from build_tools.reading.masking import mask_code
from build_tools.reading.step_marks import StepMark, read_mark

FIGURE_USE = re.compile(r"\{\{[ \t]*(?P<id>[^{}.\n]*?)(?:\.(?P<part>[^{}\n]*?))?[ \t]*\}\}")
STEP_ID = re.compile(r"[ \t]*\{#(?P<id>[^}\n]*)\}[ \t]*$")
_OPEN = re.compile(
    r"^(?P<indent> *)(?P<slashes>/{3,})[ \t]*(?P<name>[\w-]+)[ \t]*(?:\|[ \t]*(?P<argument>.*?))?[ \t]*$"
)
_CLOSE = re.compile(r"^ *(?P<slashes>/{3,})[ \t]*$")
_ITEM = re.compile(r"^ {0,3}\d+\.[ \t]+(?P<text>.*)$")
_HEADING = re.compile(r"^ {0,3}(?P<level>#{1,6})[ \t]+(?P<text>.*?)[ \t#]*$")
_LINK = re.compile(
    r"(?P<image>!?)\[(?P<text>(?:[^\[\]]|\[[^\[\]]*\])*)\]\(\s*<?(?P<target>[^)\s>]*)>?[^)]*\)"
)
_DEFINITION = re.compile(r"^ {0,3}\[(?P<text>[^\]^]+)\]:[ \t]*<?(?P<target>\S+?)>?(?:[ \t].*)?$", re.M)
_HTML_LINK = re.compile(r"<a\b[^>]*\bhref=\"(?P<target>[^\"]*)\"[^>]*>", re.I)
_HTML_IMAGE = re.compile(r"<img\b[^>]*>", re.I)


@dataclass(frozen=True, slots=True)
class Block:
    """`/// name | argument`, as an author writes it."""

    name: str
    argument: str
    line: int
    end: int | None
    """The line of its closing slashes, None where there are none."""
    depth: int
    """How many blocks it lies within."""


@dataclass(frozen=True, slots=True)
class FigureUse:
    """`{{ id }}` or `{{ id.part }}`; `part` is "" where none is written."""

    id: str
    part: str
    line: int


@dataclass(frozen=True, slots=True)
class Step:
    """An item of the numbered list in a steps block. `id` is None where the author wrote none."""

    id: str | None
    text: str
    line: int
    block: int
    """The line of its steps block."""
    mark: StepMark
    """What stands in braces at the end of its first line."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link or an image; `text` is the link's text, or the image's alternative text."""

    target: str
    text: str
    is_image: bool
    line: int


@dataclass(frozen=True, slots=True)
class Heading:
    """`## text`; `level` is the number of hash signs, 1 to 6."""

    level: int
    text: str
    line: int


@dataclass(frozen=True)
class Scan:
    """Everything the scanner reads from one source, in the order of the file."""

    text: str
    """The raw source, with "\\n" at every line's end."""
    masked: str
    """The same text, equally long, with code, comments and the options of drawings blanked out."""
    front_matter: str | None
    """The YAML between the two lines of dashes, or None where there is none."""
    body_line: int
    """The first line after the front matter."""
    blocks: tuple[Block, ...]
    stray_ends: tuple[int, ...]
    """Lines of closing slashes that close nothing."""
    figure_uses: tuple[FigureUse, ...]
    steps: tuple[Step, ...]
    links: tuple[Link, ...]
    headings: tuple[Heading, ...]

    def body_lines(self) -> list[tuple[int, str]]:
        """Return (line number, masked line) for each line after the front matter."""
        return list(enumerate(self.masked.split("\n"), start=1))[self.body_line - 1 :]


def scan(text: str) -> Scan:
    """Scan one source, front matter included. Any text can be scanned; nothing is raised."""
    text = text.replace("\r\n", "\n").removeprefix("\ufeff")
    front_matter, body_line = _front_matter(text)
    masked = mask_code(text, body_line)
    numbered = list(enumerate(masked.split("\n"), start=1))[body_line - 1 :]
    blocks, stray_ends = _blocks(numbered)
    masked = _without_options(text, masked, blocks)
    return Scan(
        text,
        masked,
        front_matter,
        body_line,
        blocks,
        stray_ends,
        _figure_uses(masked),
        _steps(numbered, blocks),
        _links(masked, body_line),
        _headings(numbered),
    )


def option_lines(text: str, block: Block) -> list[str]:
    """Return the option lines of a block, which follow its first line directly, without their indent."""
    lines = text.split("\n")
    indent = len(lines[block.line - 1]) - len(lines[block.line - 1].lstrip(" ")) + 4
    under = takewhile(lambda line: line.startswith(" " * indent) and ":" in line, lines[block.line :])
    return [line[indent:] for line in under]


def listed(argument: str) -> list[str]:
    """Return the ids of an argument that names several: `platform, lip`."""
    return [name.strip() for name in argument.split(",") if name.strip()]


def line_of(text: str, offset: int) -> int:
    """Return the number, from 1, of the line that holds the character at `offset`."""
    return text.count("\n", 0, offset) + 1


def _front_matter(text: str) -> tuple[str | None, int]:
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        return None, 1
    for index, line in enumerate(lines[1:], start=1):
        if line.rstrip() in ("---", "..."):
            return "\n".join(lines[1:index]), index + 2
    return "\n".join(lines[1:]), len(lines) + 1


def _blocks(numbered: list[tuple[int, str]]) -> tuple[tuple[Block, ...], tuple[int, ...]]:
    blocks: list[Block] = []
    open_: list[tuple[int, str]] = []  # (index in blocks, slashes)
    stray: list[int] = []
    for number, line in numbered:
        if opening := _OPEN.match(line):
            open_.append((len(blocks), opening["slashes"]))
            blocks.append(Block(opening["name"], opening["argument"] or "", number, None, len(open_) - 1))
        elif closing := _CLOSE.match(line):
            depth = _depth_closed(open_, closing["slashes"])
            if depth is None:
                stray.append(number)
                continue
            index = open_[depth][0]
            block = blocks[index]
            blocks[index] = Block(block.name, block.argument, block.line, number, block.depth)
            del open_[depth:]
    return tuple(blocks), tuple(stray)


def _without_options(text: str, masked: str, blocks: tuple[Block, ...]) -> str:
    """Blank out the options of drawings, which are not prose."""
    lines = masked.split("\n")
    for block in blocks:
        if block.name == "drawing":
            for number in range(block.line, block.line + len(option_lines(text, block))):
                lines[number] = " " * len(lines[number])
    return "\n".join(lines)


def _depth_closed(open_: list[tuple[int, str]], slashes: str) -> int | None:
    for depth in range(len(open_) - 1, -1, -1):
        if open_[depth][1] == slashes:
            return depth
    return None


def _figure_uses(masked: str) -> tuple[FigureUse, ...]:
    return tuple(
        FigureUse(use["id"], use["part"] or "", line_of(masked, use.start()))
        for use in FIGURE_USE.finditer(masked)
    )


def _steps(numbered: list[tuple[int, str]], blocks: tuple[Block, ...]) -> tuple[Step, ...]:
    spans = [(block.line, block.end or numbered[-1][0]) for block in blocks if block.name == "steps"]
    steps = []
    for number, line in numbered:
        start = next((start for start, end in spans if start < number < end or number == end != start), None)
        item = _ITEM.match(line)
        if start is None or item is None:
            continue
        found = STEP_ID.search(item["text"])
        mark = read_mark(found["id"]) if found else StepMark("")
        steps.append(Step(mark.id if found else None, STEP_ID.sub("", item["text"]), number, start, mark))
    return tuple(steps)


def _links(masked: str, body_line: int) -> tuple[Link, ...]:
    starts = [0, *(match.end() for match in re.finditer("\n", masked))]
    body = starts[body_line - 1] if body_line <= len(starts) else len(masked)

    def line(match: re.Match[str]) -> int:
        return bisect_right(starts, match.start())

    links = [
        Link(link["target"], link["text"], bool(link["image"]), line(link))
        for link in _LINK.finditer(masked, body)
    ]
    links += [
        Link(link["target"], link["text"], False, line(link)) for link in _DEFINITION.finditer(masked, body)
    ]
    links += [Link(link["target"], "", False, line(link)) for link in _HTML_LINK.finditer(masked, body)]
    links += [
        Link(_attribute(image[0], "src"), _attribute(image[0], "alt"), True, line(image))
        for image in _HTML_IMAGE.finditer(masked, body)
    ]
    return tuple(sorted(links, key=lambda link: link.line))


def _attribute(tag: str, name: str) -> str:
    match = re.search(rf"\b{name}=\"([^\"]*)\"", tag, re.I)
    return match[1] if match else ""


def _headings(numbered: list[tuple[int, str]]) -> tuple[Heading, ...]:
    return tuple(
        Heading(len(match["level"]), match["text"], number)
        for number, line in numbered
        if (match := _HEADING.match(line))
    )
