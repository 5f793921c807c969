"""Reads YAML and keeps the line of every value. Dates, `yes` and `12:30` stay text: nothing is guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import yaml


class InvalidYaml(ValueError):
    """The text is not YAML, or a mapping has the same key twice. `line` counts from 1 in the file."""

    def __init__(self, line: int, message: str) -> None:
        super().__init__(f"line {line}: {message}")
        self.line = line
        self.message = message


@dataclass(frozen=True, slots=True)
class Node:
    """A value and the line it is on.

    `value` is None, bool, int, float, str, a list of Node or a dict of str to Node. `line` is the line of the
    key for a value in a mapping, else its own. `written` is a single value exactly as typed ("0.10").
    """

    value: Any
    line: int
    written: str = ""

    def plain(self) -> Any:
        """Return the value as plain dicts, lists and scalars, without lines."""
        if isinstance(self.value, dict):
            return {key: node.plain() for key, node in self.value.items()}
        if isinstance(self.value, list):
            return [node.plain() for node in self.value]
        return self.value


class _Loader(yaml.SafeLoader):
    """A loader that knows null, true, false and decimal numbers; everything else is text."""

    yaml_implicit_resolvers = {}  # noqa: RUF012  # PyYAML looks for it on the class


class _QuickLoader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]  # either is a loader
    """The same, ten times as fast where PyYAML has its C library; its messages are harder to read."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012  # as above


for _loader in (_Loader, _QuickLoader):
    for _tag, _shape, _starts in (
        ("null", r"^(?:~|null|)$", ["~", "n", ""]),
        ("bool", r"^(?:true|false)$", ["t", "f"]),
        ("int", r"^[-+]?\d+$", list("-+0123456789")),
        ("float", r"^[-+]?\d+\.\d+$", list("-+0123456789")),
    ):
        _loader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(_shape), _starts)


def read_marked(text: str, first_line: int = 1) -> Node:
    """Read one YAML document whose first line is line `first_line` of its file.

    Raises:
        InvalidYaml: the text is not YAML, or a mapping has the same key twice.
    """
    try:
        root = _compose(text)
    except yaml.MarkedYAMLError as error:
        position = error.problem_mark or error.context_mark
        line = first_line + (position.line if position else 0)
        raise InvalidYaml(line, error.problem or str(error)) from None
    except yaml.YAMLError as error:
        raise InvalidYaml(first_line, str(error).splitlines()[0]) from None
    return Node(None, first_line) if root is None else _node(root, first_line)


def _compose(text: str) -> yaml.Node | None:
    try:
        return yaml.compose(text, Loader=_QuickLoader)
    except yaml.YAMLError:
        return yaml.compose(text, Loader=_Loader)  # its message is the same on every machine


def _node(source: yaml.Node, first_line: int) -> Node:
    line = source.start_mark.line + first_line
    if isinstance(source, yaml.MappingNode):
        return Node(_mapping(source, first_line), line)
    if isinstance(source, yaml.SequenceNode):
        return Node([_node(item, first_line) for item in source.value], line)
    return Node(_scalar(source.tag, source.value), line, source.value)


def _mapping(source: yaml.MappingNode, first_line: int) -> dict[str, Node]:
    values: dict[str, Node] = {}
    for key_node, value_node in source.value:
        line = key_node.start_mark.line + first_line
        if not isinstance(key_node, yaml.ScalarNode):
            raise InvalidYaml(line, "a key must be a single word or line of text")
        if key_node.value in values:
            raise InvalidYaml(
                line, f"the key '{key_node.value}' stands twice (first on line {values[key_node.value].line})"
            )
        node = _node(value_node, first_line)
        values[key_node.value] = Node(node.value, line, node.written)
    return values


def _scalar(tag: str, text: str) -> object:
    kind = tag.rpartition(":")[2]
    if kind == "null":
        return None
    if kind == "bool":
        return text == "true"
    if kind == "int":
        return int(text)
    if kind == "float":
        return float(text)
    return text
