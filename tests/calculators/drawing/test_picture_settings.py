"""Where the marks of both plans and of the counterbalance are, by hand from answers made by hand."""

from __future__ import annotations

from typing import Any

import pytest

from calculators.counterbalance import picture as counterbalance_picture
from calculators.drawing.scale import Scale
from calculators.mainspring_plan import picture as mainspring_plan_picture
from calculators.turn_plan import picture as turn_plan_picture
from tests.calculators.drawing.picture_answers import (
    BAND,
    CURVE,
    CYCLES,
    LINE,
    PREDICTED,
    READINGS,
    SPRINGS,
    TRAVEL,
    VISIT,
    cycle,
    drawn,
    moments,
)
from tests.calculators.drawing.picture_hearing import heard
from tests.calculators.drawing.picture_reading import Drawn, points

NEAR = 0.06
"""Places are written to a tenth of a unit."""


def level(shown: Drawn, low: float, high: float) -> Scale:
    """The scale of a level axis whose ends are known."""
    (start, _), (end, _) = shown.lines("axis")[0]
    return Scale(low, high, start, end)


def near(*places: tuple[float, float]) -> list[Any]:
    """Places as they are written."""
    return [pytest.approx(place, abs=NEAR) for place in places]


def turn(**changes: Any) -> tuple[Drawn, Scale, Scale]:
    """The picture of the turn plan, and its scales: settings -2 to 3 and times 15.2 to 20 s, 5 % to spare."""
    shown, _ = drawn(turn_plan_picture, VISIT, LINE | changes)
    return shown, level(shown, -2.7, 3.7), Scale(15.2 - 0.24, 20 + 0.24, 220, 30)


def test_turn_plan_marks_stand_at_their_settings_and_times() -> None:
    """Timings, nut, next setting and likely end; the ends of the thread from top to bottom."""
    shown, across, up = turn()
    assert shown.lines("axis")[0][1] == (278, 220)
    assert shown.marks("reading") == near(
        *((across.at(row["half_turns"]), up.at(row["fold_time_s"])) for row in READINGS)
    )
    assert shown.marks("nut")[0][0] == pytest.approx(across.at(1), abs=NEAR)
    assert shown.lines("arrow")[0] == near((across.at(1), 231), (across.at(2), 231))
    assert shown.marks("goal") == near((across.at(3), up.at(19.4)))
    assert shown.of_kind("goal")[0].get("fill") == "none"
    assert shown.lines("end")[:2] == [near((across.at(end), 30), (across.at(end), 220)) for end in (-2, 3)]


def test_turn_plan_shows_the_next_setting_and_names_its_limits_beside_it() -> None:
    """The axis reaches to where the nut goes, and the window's limits are 4 behind its end."""
    bare = {"predictions": [], "rate_intercept": None, "rate_slope": None, "do_now": 1}
    shown, _ = drawn(turn_plan_picture, VISIT | {"half_turns_min": None, "half_turns_max": None}, bare)
    across = level(shown, -1.7, 2.7)
    assert shown.lines("arrow")[0] == near((across.at(1), 231), (across.at(2), 231))
    assert [points(each)[0][0] for each in shown.of_kind("label")] == [282, 282]


def test_turn_plan_rings_grow_where_timings_are_equal() -> None:
    """The second to fourth equal timing are wider rings; more than four share the widest."""
    shown, _ = drawn(turn_plan_picture, VISIT | {"readings": [READINGS[0]] * 5 + [READINGS[2]]}, LINE)
    rings = shown.of_kind("reading")
    assert [each.get("r") for each in rings] == ["5", "8", "11", "14", "14", "5"]
    assert {each.get("fill") for each in rings} == {"none"}


def test_turn_plan_draws_its_likely_end_with_its_interval() -> None:
    """A thin upright from quickest to slowest with caps of 12; an end out of the picture has no cap."""
    shown, across, up = turn()
    x, low, high = across.at(3), up.at(18.9), up.at(19.9)
    assert shown.lines("bar-thin") == [
        near((x, low), (x, high)),
        near((x - 6, low), (x + 6, low)),
        near((x - 6, high), (x + 6, high)),
    ]
    endless = [*PREDICTED[:3], PREDICTED[3] | {"high_s": None}]
    shown, across, up = turn(predictions=endless)
    assert shown.lines("bar-thin") == [
        near((across.at(3), up.at(18.9)), (across.at(3), 30)),
        near((across.at(3) - 6, up.at(18.9)), (across.at(3) + 6, up.at(18.9))),
    ]


def test_turn_plan_has_no_end_without_one() -> None:
    """Nothing to go, or a setting without a prediction, is no likely end; nor is one without an order."""
    assert turn(half_turns_to_go=0)[0].of_kind("goal") == []
    assert turn(half_turns_to_go=None)[0].of_kind("goal") == []
    assert turn(half_turns_to_go=7)[0].of_kind("goal") == []
    assert turn(half_turns_to_go=-1)[0].marks("goal")[0] == pytest.approx(
        (turn()[1].at(0), turn()[2].at(16.0)), abs=NEAR
    )


def test_turn_plan_line_is_that_of_its_rate() -> None:
    """In eighths of a half turn over all settings timed or foreseen: t = 1 / (1/16 - n/272)."""
    shown, across, up = turn()
    wanted = [(across.at(n), up.at(1 / (1 / 16 - n / 272))) for n in (-1 + step / 8 for step in range(33))]
    assert shown.lines("line")[0] == near(*wanted)
    shown, across, up = turn(rate_slope=-1 / 64, predictions=[])
    kept = [step / 8 for step in range(-2, 7)]  # the axis shows 14.96 to 20.24 s
    assert shown.lines("line")[0] == near(*((across.at(n), up.at(1 / (1 / 16 - n / 64))) for n in kept))


def test_turn_plan_band_runs_between_its_ends_in_eighths() -> None:
    """Straight in the rate between two predictions: half way the two rates' mean."""
    shown, across, up = turn()
    quick, slow = shown.lines("edge")[:2]
    assert len(quick) == len(slow) == 25
    halves = [2 / (1 / 15.5 + 1 / 16.5), 2 / (1 / 16.5 + 1 / 17.5)]
    assert [quick[4], slow[4]] == near(*((across.at(0.5), up.at(half)) for half in halves))
    assert [quick[0], quick[-1]] == near((across.at(0), up.at(15.5)), (across.at(3), up.at(18.9)))
    assert points(shown.of_kind("band")[0]) == [*quick, *reversed(slow)]


def test_turn_plan_edge_stops_where_it_only_follows_the_top() -> None:
    """An end that is not there goes to rate 0; the edge stops at the first place held at the top."""
    shown, across, up = turn(predictions=[*PREDICTED[:3], PREDICTED[3] | {"high_s": None}])
    slow = shown.lines("edge")[1]
    assert slow[-1] == pytest.approx((across.at(2 + 1 / 8), 30), abs=NEAR)
    assert slow[-2] == pytest.approx((across.at(2), up.at(18.6)), abs=NEAR)


def test_mainspring_lanes_lie_under_each_other() -> None:
    """Too high, good and too low from the top, 46 each; the wanted one is shaded and its name strong."""
    shown, _ = drawn(mainspring_plan_picture, SPRINGS, {"known_band": BAND, "do_now": -1})
    (start, y), (end, _) = shown.lines("axis")[0]
    assert (y, end) == (144, 310)
    names = shown.of_kind("label")
    assert [(heard(str(each.text))[0][0], *points(each)[0], each.get("font-weight")) for each in names] == [
        ("too-high", start - 6, 32, None),
        ("good", start - 6, 78, "700"),
        ("too-low", start - 6, 124, None),
    ]
    assert {each.get("text-anchor") for each in names} == {"end"}
    assert points(shown.of_kind("window")[0]) == near((start, 50), (end, 50), (end, 96), (start, 96))
    assert shown.lines("limit") == [near((start, 50), (end, 50)), near((start, 96), (end, 96))]
    across = level(shown, -2.7, 3.7)
    assert shown.lines("end")[:2] == [near((across.at(x), 2), (across.at(x), 144)) for x in (-2, 3)]
    assert shown.marks("nut")[0] == pytest.approx((across.at(1), 155), abs=0.1)
    assert shown.lines("arrow")[0] == near((across.at(1), 155), (across.at(0), 155))


def test_both_plans_leave_room_for_the_nut() -> None:
    """Settings are 18 lower than under a bare axis, and so are title and legend."""
    plans = (
        (turn_plan_picture, VISIT, LINE, 220),
        (mainspring_plan_picture, SPRINGS, {"known_band": BAND}, 144),
    )
    for plot, inputs, answer, bottom in plans:
        shown, _ = drawn(plot, inputs, answer)
        assert {points(each)[0][1] for each in shown.of_kind("x-tick")} == {bottom + 37}
        assert points(shown.of_kind("title")[0])[0][1] == bottom + 57
        assert points(shown.of_kind("legend")[0])[0][1] == bottom + 78


def test_mainspring_marks_say_what_a_cycle_showed() -> None:
    """Below the name of its lane, a triangle up or down or a circle; full is the latest at its setting."""
    shown, _ = drawn(mainspring_plan_picture, SPRINGS, {"known_band": BAND})
    across = level(shown, -2.7, 3.7)
    marks = shown.of_kind("cycle")
    assert [each.get("fill") for each in marks] == ["currentColor", "none", "currentColor", "currentColor"]
    assert points(marks[0])[0] == pytest.approx((across.at(-1), 123 + 8.4), abs=NEAR)
    assert points(marks[1])[0] == pytest.approx((across.at(0), 123 + 8.4), abs=NEAR)
    assert points(marks[2]) == near((across.at(0), 77))
    assert points(marks[3])[0] == pytest.approx((across.at(1), 31 - 8.4), abs=NEAR)


def test_mainspring_counts_cycles_that_showed_the_same() -> None:
    """Two or more share a mark with their number 12 above; numbers closer than 24 are left out."""
    seen = [cycle(n, "full-gentle") for n in (-50, -50, 50, 50, 50, 49, 49, 0)]
    band = [{"shows": "good", "half_turns": [-50, 0, 49, 50]}]
    far = {"half_turns_min": None, "half_turns_max": None}
    shown, _ = drawn(mainspring_plan_picture, SPRINGS | far | {"cycles": seen}, {"known_band": band})
    across = level(shown, -56, 56)
    counted = [each for each in shown.of_kind("label") if heard(str(each.text))[0][0] == "count"]
    assert [heard(str(each.text))[0][1] for each in counted] == [{"count": "2"}, {"count": "2"}]
    assert [points(each)[0] for each in counted] == near((across.at(-50), 65), (across.at(49), 65))
    assert {each.get("text-anchor") for each in counted} == {"middle"}
    assert len(shown.of_kind("cycle")) == 4


def test_mainspring_explains_full_and_open_marks() -> None:
    """Where cycles disagree the legend has a full mark for the latest and an open one for those before."""
    shown, _ = drawn(mainspring_plan_picture, SPRINGS, {"known_band": BAND})
    assert [each.get("fill") for each in shown.of_kind("sample-cycle")] == ["currentColor", "none"]


def test_mainspring_shows_the_next_setting_and_leaves_room_for_its_names() -> None:
    """The axis begins where the widest lane's strong name ends, and reaches to where the nuts go."""
    bare = SPRINGS | {"half_turns_min": None, "half_turns_max": None}
    shown, _ = drawn(mainspring_plan_picture, bare, {"known_band": BAND, "do_now": 1})
    assert shown.lines("axis")[0][0][0] == pytest.approx(12 + 8.2 * len("<too-high>"), abs=NEAR)
    across = level(shown, -1.7, 2.7)
    assert shown.lines("arrow")[0] == near((across.at(1), 155), (across.at(2), 155))


def test_mainspring_disagrees_only_within_a_setting() -> None:
    """Settings that show different things from each other are no disagreement."""
    inputs = SPRINGS | {"cycles": CYCLES[2:]}
    shown, alternative = drawn(mainspring_plan_picture, inputs, {"known_band": BAND})
    assert "told-earlier" not in [code for code, _ in heard(alternative)]
    assert "earlier" not in [code for code, _ in heard(" ".join(shown.texts("legend")))]


def counterbalance(**changes: Any) -> tuple[Drawn, Scale, Scale]:
    """The picture, and its scales: -8 to 12 degrees, and moments from the least to what 300 N walk down."""
    shown, _ = drawn(counterbalance_picture, TRAVEL, CURVE | changes)
    low, high = -30.0, 450.0  # 300 N at 1.5 m, level
    return shown, level(shown, -8, 12), Scale(low - 28.8, high + 28.8, 230, 30)


def test_counterbalance_curves_zero_and_limit() -> None:
    """Both curves through their rows, a zero line, the limit at 450 N m times the cosine, shaded to 0."""
    shown, across, up = counterbalance()
    assert shown.lines("axis")[0][1] == (308, 230)
    angles = [across.at(angle) for angle in (-8, 0, 12)]
    assert shown.lines("line")[0] == near(*zip(angles, map(up.at, (40, 20, -30)), strict=True))
    assert shown.lines("line-second")[0] == near(*zip(angles, map(up.at, (90, 130, 110)), strict=True))
    assert shown.lines("zero") == [near((angles[0], up.at(0)), (angles[2], up.at(0)))]
    limit = list(zip(angles, map(up.at, (445.6206, 450.0, 440.1664)), strict=True))  # cos 8 and 12 degrees
    assert shown.lines("limit")[0] == near(*limit)
    assert points(shown.of_kind("window")[0]) == near(*limit, (angles[2], up.at(0)), (angles[0], up.at(0)))


def test_counterbalance_marks_its_stall() -> None:
    """A diamond on the zero line at its angle, an edge from top to bottom there; none without a stall."""
    shown, across, up = counterbalance()
    assert shown.marks("stall") == near((across.at(5), up.at(0)))
    assert shown.lines("edge") == [near((across.at(5), 30), (across.at(5), 230))]
    shown, _, _ = counterbalance(stall_angle_deg=None)
    assert shown.of_kind("stall") == shown.of_kind("edge") == []


def test_counterbalance_draws_where_springs_hang_loose() -> None:
    """Each loose angle with half a step about it, neighbors as one stretch, held within the picture."""
    rows = moments(*((angle, 10.0, 20.0) for angle in (-8, -4, 0, 4, 8, 12)))
    shown, across, _ = counterbalance(curve=rows, slack=[-8, 4, 8])
    half = 20 / 6 / 2
    first, second = shown.lines("loose")[:2]
    assert first == near((across.at(-8), 225), (across.at(-8 + half), 225))
    assert second == near((across.at(4 - half), 225), (across.at(8 + half), 225))
    assert counterbalance(slack=[])[0].of_kind("loose") == []


def test_counterbalance_of_tiny_moments_is_not_drawn_larger() -> None:
    """Moments within 10 N m fill no more than that."""
    rows = moments((-8, 1.0, 1.0), (0, 1.0, 1.0), (12, 1.0, 1.0))
    shown, _ = drawn(
        counterbalance_picture,
        TRAVEL | {"walk_down_limit_n": 1.0},
        CURVE | {"curve": rows, "stall_angle_deg": None, "slack": []},
    )
    up = Scale(0.75 - 5, 0.75 + 5, 230, 30)  # 0 to 1.5 N m
    assert shown.lines("line")[0][0][1] == pytest.approx(up.at(1.0), abs=NEAR)
