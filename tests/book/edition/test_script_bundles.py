"""The browser's modules in few files: each runs once, in the order of what it needs, and nothing is lost."""

from __future__ import annotations

import re

import pytest

from build_tools.edition.script_bundles import NotBundled, bundles

PLACE = """/** Where it stands.\n * @see {import("./other.js").Other} */
export const place = new URL("./", import.meta.url).href;
"""
WORDS = """import { place } from "./place.js";

const words = await fetch(place); // one request

/** Say it: "// this is no comment of a line". */
export function say(code) {
  // a comment of its own line
  return `${words} // ${code}`;
}
"""
START = """import { say } from "./words.js";
import {
  place,
  place as root,
} from "./place.js";

export async function begin() {
  const { open } = await import("./sheet.js");
  open(say(place), root);
}
"""
SHEET = """import { say } from "./words.js";
export const open = (text) => say(text);
"""
SOURCES = {"place.js": PLACE, "words.js": WORDS, "start.js": START, "sheet.js": SHEET}


def test_each_module_stands_once_behind_what_it_needs() -> None:
    """A bundle holds what no earlier one holds, in the order of need, and takes the rest from there."""
    found = bundles(SOURCES, [["start.js"], ["sheet.js"]])
    held = {name: re.findall(r'^parts\["([\w.]+)"\] =', text, re.MULTILINE) for name, text in found.items()}
    assert held == {"start.js": ["place.js", "words.js", "start.js"], "sheet.js": ["sheet.js"]}
    assert found["sheet.js"] == (
        'import { parts as from_start } from "./start.js";\n'
        "export const parts = {};\n"
        'parts["sheet.js"] = (() => {\n'
        'const { say } = from_start["words.js"];\n'
        "const open = (text) => say(text);\n"
        "return { open };\n"
        "})();\n"
        'export const { open } = parts["sheet.js"];\n'
    )


def test_a_module_of_others_says_at_its_end_what_it_gives() -> None:
    """A list of exports, as a fetched library has it, counts as if it stood at each declaration."""
    library = "const open = () => 1;\nconst shut = () => 0;\n\nexport { open, shut };\n"
    text = bundles({"library.js": library}, [["library.js"]])["library.js"]
    assert "export {" not in text
    end = 'export const { open, shut } = parts["library.js"];\n'
    assert text.endswith(f"return {{ open, shut }};\n}})();\n{end}")


def test_a_module_that_waits_is_waited_for_and_comes_later_from_its_bundle() -> None:
    """Only a module whose statements wait makes a waiting function; import() gives the module itself."""
    text = bundles(SOURCES, [["start.js"], ["sheet.js"]])["start.js"]
    assert 'parts["words.js"] = await (async () => {' in text
    assert 'parts["start.js"] = (() => {\nconst { say } = parts["words.js"];\n' in text
    assert 'const { place, place: root } = parts["place.js"];' in text
    assert 'const { open } = await import("./sheet.js").then(({ parts }) => parts["sheet.js"]);' in text


def test_comments_stay_behind_and_texts_do_not_change() -> None:
    """Comments of whole lines are not sent; what looks like one inside a line stays."""
    text = bundles(SOURCES, [["start.js"], ["sheet.js"]])["start.js"]
    assert "Where it stands" not in text
    assert "of its own line" not in text
    assert "return `${words} // ${code}`;" in text


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"start.js": 'import { a } from "./gone.js";\n'}, "start.js needs gone.js, which is missing"),
        ({"start.js": 'import { a } from "./start.js";\n'}, "start.js needs start.js, which needs itself"),
        ({"start.js": 'import * as all from "./place.js";\n', "place.js": PLACE}, "import * as all"),
        ({"start.js": 'import all from "./place.js";\n', "place.js": PLACE}, "import all"),
        ({"start.js": "export let count = 0;\n"}, "export let count"),
        ({"start.js": "export default 1;\n"}, "export default"),
        ({"start.js": 'void import("./gone.js");\n'}, "gone.js, which is missing"),
        ({"start.js": "", "place.js": PLACE}, "no bundle needs place.js"),
    ],
)
def test_what_the_bundles_do_not_know_stops_the_build(wrong: dict[str, str], told: str) -> None:
    """A module that is missing, needs itself, or is written in another way is named, not sent broken."""
    with pytest.raises(NotBundled, match=re.escape(told)):
        bundles(wrong, [["start.js"]])
