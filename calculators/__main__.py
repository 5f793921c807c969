"""The calculators on the command line: python3 -m calculators NAME < input.json prints the answer as JSON."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import NoReturn

from calculators.answering import NAMES, run, schema
from calculators.shared.words import read_words

WORDS_FILE = Path(__file__).resolve().parent.parent / "content" / "registers" / "words" / "en.yml"


class _Arguments(argparse.ArgumentParser):
    """Reports a wrong command line in the same form as wrong input, so that a caller reads one form only."""

    def error(self, message: str) -> NoReturn:
        _refuse("", None, f"{message}. {self.format_usage().strip()}")


def main(arguments: list[str] | None = None) -> int:
    """Run the command line; return its exit status: 0, or 2 where the input cannot be used."""
    wanted = _parser().parse_args(arguments)
    if wanted.list:
        print("\n".join(NAMES))
        return 0
    words = _words(wanted.words)
    if wanted.schema is not None:
        return _print_schema(wanted.schema, words)
    if wanted.name is None:
        _refuse("", None, f"Name a calculator: {', '.join(NAMES)}.")
    unknown = wanted.name not in NAMES  # refused before anyone types the input
    answer = run(wanted.name, "" if unknown else _input(), words)
    print(answer)
    return 2 if "errors" in json.loads(answer) else 0


def _parser() -> argparse.ArgumentParser:
    parser = _Arguments(prog="python3 -m calculators", description=__doc__)
    parser.add_argument("name", nargs="?", metavar="NAME", help=", ".join(NAMES))
    parser.add_argument("--list", action="store_true", help="list the names")
    parser.add_argument("--schema", metavar="NAME", help="print the inputs and outputs of a calculator")
    parser.add_argument("--words", metavar="FILE", type=Path, default=WORDS_FILE, help="another words file")
    return parser


def _print_schema(name: str, words: dict[str, str]) -> int:
    if name not in NAMES:
        print(run(name, "", words))
        return 2
    print(json.dumps(schema(name), indent=2))
    return 0


def _words(file: Path) -> dict[str, str]:
    try:
        return read_words(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        advice = "Give a file written as content/registers/words/en.yml is."
        _refuse("--words", str(file), f"The words file cannot be used: {error}. {advice}")


def _input() -> str:
    if sys.stdin.isatty():
        print("Type the inputs as one JSON object, then Ctrl-D.", file=sys.stderr)
    try:
        return sys.stdin.buffer.read().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _refuse("", None, f"The input is not UTF-8 text (byte {error.start + 1}). Save it as UTF-8.")


def _refuse(field: str, value: str | None, message: str) -> NoReturn:
    print(json.dumps({"errors": [{"field": field, "value": value, "message": message}]}))
    raise SystemExit(2)


if __name__ == "__main__":
    sys.exit(main())
