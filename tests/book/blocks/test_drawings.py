"""Drawings: true to the calculators' geometry, readable on the narrowest phone, the same bytes every time."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from build_tools.checks.drawings import sentences
from build_tools.drawing import cycle, details, springs
from build_tools.drawing.catalogue import DRAWINGS, NAMES, STATEFUL, Request, drawing_of
from build_tools.drawing.geometry import PRACTICE, geometry_of, not_drawable
from build_tools.drawing.labels import LabelText, NoRoom, place_labels
from build_tools.drawing.page_drawing import PageDrawing
from build_tools.drawing.pose import LEVER, Pose, lip_lever
from build_tools.drawing.shapes import Arrow, Line
from build_tools.drawing.sheet import Sheet, laid_out
from build_tools.registers.registers import Registers
from build_tools.site.building import build_book
from calculators.drawing.svg import FONT, WIDTH
from calculators.shared.spring_geometry import Point

REQUESTS = [Request(name) for name in DRAWINGS]
REQUESTS += [Request(name, state) for name, states in STATEFUL.items() for state in states]
LONGEST = {
    "platform_length_m": {"value": 3.0, "basis": "owner's manual", "where": "nowhere"},
    "frame_anchor_x_m": {"value": 0.7, "basis": "owner's manual", "where": "nowhere"},
}
SHORTEST = {"platform_length_m": {"value": 1.75, "basis": "owner's manual", "where": "nowhere"}}


def _sheet(request: Request, registers: Registers) -> Sheet:
    figure = PageDrawing(registers, "figures.html", "drawing-1")
    return laid_out(drawing_of(request, registers.equipment), figure.words)


def _html(request: Request, registers: Registers) -> BeautifulSoup:
    html = PageDrawing(registers, "../figures.html", "drawing-1").html(request)
    return BeautifulSoup(str(html), "html.parser")


def _ids(request: Request) -> str:
    return request.key


# --- true to the geometry ---


@pytest.mark.parametrize("angle", [-5, 0, 3, 12])
def test_the_spring_is_drawn_as_long_as_the_calculator_has_it(angle: float) -> None:
    """From the platform's anchor to the far face of the frame's plate it is the counterbalance's length."""
    pose = Pose(geometry=PRACTICE, platform=angle)
    shapes = list(springs.mainspring(pose))
    hook = next(shape.at for shape in shapes if hasattr(shape, "radius"))
    plate = max(x for x, _ in next(shape.points for shape in shapes if isinstance(shape, Line)))

    length = PRACTICE.spring.length_at(angle)
    assert math.dist(hook, PRACTICE.frame_anchor) == pytest.approx(length, abs=1e-12)
    assert plate == PRACTICE.frame_anchor[0]


def test_the_coils_take_up_all_the_stretch() -> None:
    """Hook and rod keep their lengths, so that coils differ by what the calculator says the spring does."""

    def coils(angle: float) -> float:
        strokes = [
            shape.points
            for shape in springs.mainspring(Pose(geometry=PRACTICE, platform=angle))
            if isinstance(shape, Line) and shape.kind == "coil"
        ]
        middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in strokes]
        pitch = math.dist(middles[0], middles[-1]) / (len(middles) - 1)
        return pitch * len(middles)

    stretch = PRACTICE.spring.length_at(0) - PRACTICE.spring.length_at(12)

    assert stretch > 0.05
    assert coils(0) - coils(12) == pytest.approx(stretch, abs=1e-9)


def test_the_mainspring_gets_shorter_all_the_way_up() -> None:
    """It gives its pull away as it lifts."""
    lengths = [PRACTICE.spring.length_at(angle / 2) for angle in range(-10, 25)]

    assert all(after < before for before, after in pairwise(lengths))


def test_the_arrow_of_the_fold_runs_on_the_arc_of_the_lips_end() -> None:
    """Every point of it is one lip length from the lip's hinge, with the platform where the fold is timed."""
    (arrow,) = [shape for shape in details.lip_arc(PRACTICE).shapes if isinstance(shape, Arrow)]
    hinge = Pose(geometry=PRACTICE, platform=PRACTICE.timing_angle).lip_hinge

    assert {round(math.dist(hinge, point), 12) for point in arrow.points} == {PRACTICE.lip_length}
    assert [arrow.points[0][0] > hinge[0] + 0.4, arrow.points[-1][1] < hinge[1] - 0.4] == [True, True]


@pytest.mark.parametrize("lip", [-90, -42, 0, 3])
def test_the_lips_end_is_one_lip_length_from_its_hinge(lip: float) -> None:
    """However the lip hangs, it is as long as it is."""
    pose = Pose(geometry=PRACTICE, platform=3, lip=lip)

    assert math.dist(pose.lip_hinge, pose.lip_end) == pytest.approx(PRACTICE.lip_length, abs=1e-12)


def test_at_rest_the_lip_stands_in_the_keepers() -> None:
    """The platform is level, and the lip's end is on the keepers' floor, under their upper edge."""
    end = Pose(geometry=PRACTICE).lip_end

    assert end[1] == pytest.approx(PRACTICE.keeper_floor, abs=1e-12)
    assert end[1] < PRACTICE.keeper_top


def test_the_fold_is_timed_where_the_hanging_lip_just_clears_the_keepers() -> None:
    """At the timing angle it hangs 2 cm above them; a degree lower it would touch."""
    hangs = Pose(geometry=PRACTICE, platform=PRACTICE.timing_angle)
    lower = Pose(geometry=PRACTICE, platform=PRACTICE.timing_angle - 1)

    assert hangs.lip_end[1] - PRACTICE.keeper_top == pytest.approx(0.02, abs=1e-12)
    assert lower.lip_end[1] < PRACTICE.keeper_top


@pytest.mark.parametrize("platform", [-5, 0, 3, 12])
def test_the_lip_assist_link_keeps_its_length(platform: float) -> None:
    """Through the lip's whole swing the link and both arms of the lever stay as long as they are."""
    poses = [Pose(geometry=PRACTICE, platform=platform, lip=lip) for lip in range(-90, int(platform) + 1, 3)]
    levers = [lip_lever(pose) for pose in poses]

    assert {round(math.dist(lever.top, lever.lug), 9) for lever in levers} == {
        round(math.dist(levers[0].top, levers[0].lug), 9)
    }
    assert all(
        math.dist(lever.pivot, end) == pytest.approx(LEVER)
        for lever in levers
        for end in (lever.top, lever.bottom)
    )


def test_the_lip_assist_spring_is_longest_while_the_lip_hangs() -> None:
    """So it pulls the lip out, and holds it back on its way down."""
    lengths = [
        math.dist(lever.bracket, lever.bottom)
        for lever in (lip_lever(Pose(geometry=PRACTICE, platform=3, lip=lip)) for lip in range(-90, 4, 3))
    ]

    assert all(after < before for before, after in pairwise(lengths))


@pytest.mark.parametrize("angle", [PRACTICE.timing_angle, PRACTICE.lowest])
def test_the_lip_lies_on_the_truck_bed(angle: float) -> None:
    """The lip's end is at the height of the bed that is drawn, and beyond the bed's edge."""
    pose, bed = cycle.on_bed(PRACTICE, angle)
    truck = next(
        shape
        for shape in cycle.STATES["on-truck-bed"](PRACTICE).shapes
        if isinstance(shape, Line) and shape.kind == "truck"
    )

    assert pose.lip_end[1] == bed
    assert pose.lip_end[0] > min(x for x, _ in truck.points) + 0.2


# --- readable ---


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_labels_stand_inside_and_apart(request_: Request, registers: Registers) -> None:
    """No label's box leaves the sheet, meets another box, or reaches into the drawing."""
    sheet = _sheet(request_, registers)
    boxes = [_box(label.below, place.left, place.right, place.row, sheet) for label, place in sheet.labels]

    assert boxes != []
    assert all(x0 >= 0 and x1 <= WIDTH and y0 >= 0 and y1 <= sheet.height for (x0, y0), (x1, y1) in boxes)
    assert [pair for pair in combinations(boxes, 2) if _meet(*pair)] == []
    assert all(y1 <= sheet.top or y0 >= sheet.bottom for (_, y0), (_, y1) in boxes)


def _box(below: bool, left: float, right: float, row: int, sheet: Sheet) -> tuple[Point, Point]:
    top = sheet.bottom + 24 * row + 24 - 5 - FONT if below else sheet.top - 24 * row - 9 - FONT
    return (left, top), (right, top + FONT + 4)


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return all(one[0][axis] < other[1][axis] and other[0][axis] < one[1][axis] for axis in (0, 1))


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_leaders_do_not_cross(request_: Request, registers: Registers) -> None:
    """No leader meets another leader, and none runs through the words of another label."""
    html = _html(request_, registers)
    leaders = [_points(str(path["d"])) for path in html.select("path.ht-draw-leader")]
    sheet = _sheet(request_, registers)
    boxes = [_box(label.below, place.left, place.right, place.row, sheet) for label, place in sheet.labels]
    crossing = [
        (one, other)
        for one, other in combinations(leaders, 2)
        if any(_cross(a, b) for a in pairwise(one) for b in pairwise(other))
    ]
    through = [
        (path, box)
        for at, path in enumerate(leaders)
        for other, box in enumerate(boxes)
        if at != other
        and box[0][0] < path[-1][0] < box[1][0]
        and min(path[-1][1], path[-2][1]) < box[1][1]
        and box[0][1] < max(path[-1][1], path[-2][1])
    ]

    assert len(leaders) == len(boxes)
    assert (crossing, through) == ([], [])


def _points(d: str) -> list[Point]:
    numbers = [float(value) for value in re.findall(r"-?[\d.]+", d)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    def side(line: tuple[Point, Point], point: Point) -> float:
        (ax, ay), (bx, by) = line
        return (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)

    return all(side(a, b[0]) * side(a, b[1]) <= 0 for a, b in ((one, other), (other, one)))


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_letters_are_large_enough_on_the_narrowest_phone(request_: Request, registers: Registers) -> None:
    """320 units wide and letters of 14 make 14 px at 320 px, and nothing sets another size."""
    svg = _one(_html(request_, registers), "svg.ht-draw")

    assert str(svg["viewbox"]).split()[:3] == ["0", "0", "320"]
    assert [element["font-size"] for element in [svg, *svg.select("[font-size]")]] == ["14"]


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_ink_is_left_to_the_style_sheet(request_: Request, registers: Registers, project: Path) -> None:
    """No style and no color in the picture, and a rule or the plain ink for each class of line."""
    figure = _one(_html(request_, registers), "figure")
    css = (project / "build_tools/browser/style/drawing.css").read_text(encoding="utf-8")
    painted = [
        element
        for element in figure.find_all(True)
        if {"style", "fill", "stroke", "stroke-width"} & set(element.attrs)
    ]
    kinds = {name for element in figure.select("path, circle") for name in element["class"]}

    assert painted == []
    assert [kind for kind in sorted(kinds) if f".{kind}" not in css] == []
    assert re.findall(r"#[0-9a-f]{3,8}\b|rgb", css) == []


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_the_picture_can_be_read_aloud(request_: Request, registers: Registers) -> None:
    """It is one image with a title and a description that names every label; the caption says the same."""
    figure = _one(_html(request_, registers), "figure")
    image = _one(figure, "[role=img]")
    title, told = _one(image, "title"), _one(image, "desc")
    labels = [text.get_text() for text in figure.select("text")]

    assert (image["aria-labelledby"], image["aria-describedby"]) == (title["id"], told["id"])
    assert all(label in told.get_text() for label in labels)
    assert _one(figure, "figcaption").get_text().startswith(title.get_text() + " ")
    assert image.select("a, text") == []


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_a_label_is_a_term_spelled_and_linked_as_the_glossary_has_it(
    request_: Request, registers: Registers
) -> None:
    """Each linked label carries its term's own word and leads to its row."""
    links = _html(request_, registers).select("a.ht-draw-label")

    assert links != []
    assert [(link.get_text(), link["href"]) for link in links] == [
        (registers.terms[str(link["data-term"])].term, f"../figures.html#term-{link['data-term']}")
        for link in links
    ]


# --- the list ---


def test_the_drawings_asked_for_are_there() -> None:
    """Side view at rest and raised, the cycle in its states, lip arc, nuts, mainspring."""
    assert {"side-view", "side-view-raised", "cycle-frame", "lip-arc"} <= {*NAMES}
    assert {"adjusting-nut", "mainspring", "on-the-support"} <= {*NAMES}
    assert [*STATEFUL["cycle-frame"]] == [
        "stored",
        "release",
        "rise",
        "lip-out",
        "walk-down",
        "on-truck-bed",
        "truck-leaves",
        "lip-folds",
        "below-dock",
    ]


@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_every_drawing_has_its_terms_and_sentences(request_: Request, registers: Registers) -> None:
    """What a drawing names is in the real registers."""
    drawing = drawing_of(request_, {})

    assert [term for term in drawing.terms if term not in registers.terms] == []
    assert [code for code in sentences(request_, drawing) if code not in registers.words] == []


def test_the_same_drawing_is_the_same_bytes(registers: Registers) -> None:
    """Drawn twice, nothing differs."""
    first, second = ([str(_html(request, registers)) for request in REQUESTS] for _ in range(2))

    assert first == second
    assert len(set(first)) == len(REQUESTS)


# --- another leveler ---


@pytest.mark.parametrize("figures", [LONGEST, SHORTEST], ids=["longest", "shortest"])
@pytest.mark.parametrize("request_", REQUESTS, ids=_ids)
def test_another_leveler_can_be_drawn(
    figures: dict[str, dict[str, object]], request_: Request, registers: Registers
) -> None:
    """At both ends of what a row may give, every label still finds its place."""
    geometry = geometry_of(figures)
    drawing = (
        STATEFUL[request_.name][request_.state](geometry)
        if request_.state
        else DRAWINGS[request_.name](geometry)
    )

    assert not_drawable(figures) == []
    assert laid_out(drawing, PageDrawing(registers, "", "a").words).height > 0


def test_a_row_gives_the_drawing_its_lengths() -> None:
    """What a leveler class's row says under the calculator's names is drawn, the rest as in practice."""
    figures = {"platform_length_m": {"value": 2.4}, "frame_anchor_y_m": {"value": -0.5}}
    geometry = geometry_of(figures)

    assert (geometry.platform_length, geometry.frame_anchor) == (2.4, (PRACTICE.frame_anchor[0], -0.5))
    assert geometry.platform_anchor == PRACTICE.platform_anchor


def test_labels_without_room_are_refused() -> None:
    """Words that cannot be beside each other in the rows there are raise NoRoom and name them."""
    many = [
        LabelText("a word as long as the sheet is", ((100.0 + step, 0.0),), below=True) for step in range(7)
    ]

    with pytest.raises(NoRoom, match="a word as long as the sheet is, a word"):
        place_labels(many)


# --- in a book ---

PAGE = """\
---
title: Drawn
kind: guide
summary: A drawing.
revised: 2026-11-26
review_by: 2027-05-24
accepts: [lip-drops/watch-it-fold]
---

# Drawn

It is not for measuring.

/// drawing | cycle-frame
    state: rise
    leveler: practice-leveler
///

- In a list:

    /// drawing | lip-arc
    ///

/// terms | fold-time
///

## Three runs

As many as it takes.
"""


def test_drawings_and_terms_come_out_on_a_page(
    tmp_path: Path, project: Path, copy_of_good_book: Callable[[Path], Path]
) -> None:
    """A block becomes a figure with an id of its own, also in a list; terms come with figure and link."""
    book = copy_of_good_book(tmp_path / "book")
    terms = (project / "content/registers/terms.yml").read_text(encoding="utf-8")
    kept = [line for line in terms.splitlines() if not line.startswith("  leads_to:")]  # pages it has not
    (book / "content/registers/terms.yml").write_text("\n".join(kept), encoding="utf-8")
    (book / "content/learn/why.md").write_text(PAGE, encoding="utf-8")

    page = BeautifulSoup(
        (build_book(book, tmp_path / "site").folder / "learn/why.html").read_text("utf-8"), "html.parser"
    )

    figures = page.select("article figure.ht-drawing")
    assert [
        (each["id"], each["data-drawing"], each.get("data-state"), each.get("data-leveler"))
        for each in figures
    ] == [("drawing-1", "cycle-frame", "rise", "practice-leveler"), ("drawing-2", "lip-arc", None, None)]
    assert _one(page, "li figure")["id"] == "drawing-2"
    assert _one(page, "dl.ht-terms dt a")["href"] == "../figures.html#term-fold-time"
    assert _one(page, "dl.ht-terms dd").get_text().startswith("The time the raised lip takes")
    assert page.select("p > figure, p > div") == []


def _one(within: BeautifulSoup | Tag, selector: str) -> Tag:
    found = within.select(selector)
    assert len(found) == 1, f"{selector} stands {len(found)} times"
    return found[0]
