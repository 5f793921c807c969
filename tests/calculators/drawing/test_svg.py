"""The parts of a picture: places as they are written, marks about their middle, words escaped, widths."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest

from calculators.drawing.svg import area, box, line, mark, number, svg, text, text_width
from tests.calculators.drawing.picture_reading import SVG, points

SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0)]


def parsed(part: str) -> ElementTree.Element:
    """The one element of a part, in the name space of SVG."""
    return ElementTree.fromstring(svg(10, [part], "told"))[0]


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (12.0, "12"),
        (12.34, "12.3"),
        (12.36, "12.4"),
        (-0.5, "-0.5"),
        (-0.04, "0"),
        (0.0, "0"),
        (100.0, "100"),
        (0.04, "0"),
    ],
)
def test_a_place_is_written_to_a_tenth(value: float, written: str) -> None:
    """Tenths, no needless zero, and never minus nothing."""
    assert number(value) == written


def test_a_line_needs_two_points_and_an_area_three() -> None:
    """With fewer there is nothing to see, and nothing is written."""
    assert line(SQUARE[:1], "axis") == "" == area(SQUARE[:2], "band")
    assert points(parsed(line(SQUARE[:2], "axis"))) == SQUARE[:2]
    triangle = parsed(area(SQUARE, "band"))
    assert points(triangle) == SQUARE
    assert str(triangle.get("d")).endswith("Z")


def test_a_box_has_four_corners_in_order() -> None:
    """Two opposite corners make an upright box that does not cross itself."""
    assert points(parsed(box((1, 2), (5, 8), "window"))) == [(1, 2), (5, 2), (5, 8), (1, 8)]


@pytest.mark.parametrize(
    ("shape", "tip"), [("up", (10, 8)), ("down", (10, 32)), ("left", (-2, 20)), ("right", (22, 20))]
)
def test_a_triangle_points_where_it_says(shape: str, tip: tuple[float, float]) -> None:
    """The first corner is 1.2 sizes from the middle on the named side; y runs downward."""
    corners = points(parsed(mark(shape, (10, 20), 10, "nut")))
    assert corners[0] == tip
    other = [(x, y) for x, y in corners[1:]]
    assert all((x - 10) * (tip[0] - 10) + (y - 20) * (tip[1] - 20) < 0 for x, y in other)


def test_a_diamond_is_alike_on_all_sides() -> None:
    """Its corners lie 1.3 sizes from the middle, above, right, below and left."""
    assert points(parsed(mark("diamond", (10, 20), 10, "mean"))) == [(10, 7), (23, 20), (10, 33), (-3, 20)]


def test_marks_are_full_unless_said_otherwise() -> None:
    """A full mark is filled with ink, an open one shows the ground."""
    assert parsed(mark("circle", (1, 2), 3, "run")).get("fill") == "currentColor"
    ring = parsed(mark("circle", (1, 2), 3, "run", full=False))
    assert (ring.get("fill"), ring.get("r"), points(ring)) == ("none", "3", [(1, 2)])
    assert str(ring.get("class")).split() == ["ht-plot-mark", "ht-plot-run"]


def test_words_start_at_their_point_and_are_thin_unless_said_otherwise() -> None:
    """A line of words carries an anchor and a weight only where it was asked for."""
    thin, strong = (parsed(text((1, 2), "m", "label", strong=strong)) for strong in (False, True))
    assert (thin.get("font-weight"), strong.get("font-weight")) == (None, "700")
    assert [
        parsed(text((1, 2), "m", "label", anchor=anchor)).get("text-anchor")
        for anchor in ("start", "middle", "end")
    ] == [None, "middle", "end"]
    assert parsed(text((1, 2), "m", "label")).get("text-anchor") is None
    assert points(parsed(text((1, 2.5), "m", "label"))) == [(1, 2.5)]


def test_words_are_words_whatever_is_in_them() -> None:
    """Signs of the markup are shown as themselves, in the picture and in its alternative."""
    told = 'a < b & "c" > d'
    root = ElementTree.fromstring(svg(10, [text((1, 2), told, "label")], told))
    assert (root[0].tag, root[0].text, root.get("aria-label")) == (f"{SVG}text", told, told)


def test_a_width_is_that_of_letters_and_wider_digits() -> None:
    """Digits and minus count 9, letters 7.2, strong letters 8.2: strong words are wider, numbers widest."""
    assert text_width("ab") == pytest.approx(14.4)
    assert text_width("ab", strong=True) == pytest.approx(16.4)
    assert text_width("\u221212") == text_width("\u221212", strong=True) == pytest.approx(27)
    assert text_width("a 1", strong=True) == pytest.approx(25.4)


def test_nothing_but_its_parts_stands_in_a_picture() -> None:
    """No word is between the parts, and the frame is 320 wide and as high as said."""
    root = ElementTree.fromstring(svg(12.5, [line(SQUARE, "axis"), text((1, 2), "m", "label")], "told"))
    assert (root.text, root[0].tail, root[1].tail) == (None, None, None)
    assert root.get("viewBox") == "0 0 320 12.5"
