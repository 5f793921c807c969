"""The steps of the workings about springs, boards, cycles and plans, with numbers worked out here by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from calculators.counterbalance import working as counterbalance_working
from tests.calculators.asking import ask
from tests.calculators.leveler import BALANCED, FALLING
from tests.calculators.workings.working_reading import codes, shown, steps, values

COIL = {
    "wire_diameter_m": 0.005,
    "outside_diameter_m": 0.055,
    "active_coils": 100,
    "shear_modulus_pa": 80e9,
    "initial_tension_n": 20,
    "extension_m": 0.2,
    "thread_pitch_m": 0.002,
    "points": [],
}


def test_spring_rate_steps_from_dimensions() -> None:
    """D = 50 mm and C = 10 make 80e9 * 0.005^4 / (8 * 0.05^3 * 100) = 500 N/m, so 120 N at 200 mm."""
    assert codes("spring-rate", COIL) == [
        "mean-diameter",
        "rate",
        "force",
        "index",
        "wahl",
        "stress",
        "half-turn-extension",
        "half-turn-force",
    ]
    found = values("spring-rate", COIL, "rate")
    wahl = 39 / 36 + 0.0615
    assert {name: found[name] for name in ("mean_diameter_m", "rate_n_per_m", "force_n", "spring_index")} == {
        "mean_diameter_m": 0.05,
        "rate_n_per_m": 500,
        "force_n": 120,
        "spring_index": 10,
    }
    assert found["wahl_factor"] == shown(wahl)
    assert found["shear_stress_pa"] == shown(wahl * 8 * 120 * 0.05 / (math.pi * 0.005**3))
    assert (found["half_turn_extension_m"], found["half_turn_force_n"]) == (0.001, 0.5)
    assert (found["wire_diameter_m"], found["initial_tension_n"], "points" in found) == (0.005, 20, False)
    bare = COIL | dict.fromkeys(("initial_tension_n", "extension_m", "thread_pitch_m"))
    assert codes("spring-rate", bare) == ["mean-diameter", "rate", "index", "wahl"]


def test_spring_rate_steps_from_two_points() -> None:
    """Whichever was measured first, the shorter length comes first: (160 - 100) / (0.6 - 0.5) = 600 N/m."""
    points = [{"length_m": 0.6, "force_n": 160}, {"length_m": 0.5, "force_n": 100}]
    question = {"points": points, "thread_pitch_m": 0.002}
    assert codes("spring-rate", question) == ["rate-points", "half-turn-extension", "half-turn-force"]
    found = values("spring-rate", question, "rate-points")
    names = ("length_m_1", "force_n_1", "length_m_2", "force_n_2", "rate_n_per_m")
    assert [found[name] for name in names] == [0.5, 100, 0.6, 160, 600]


DOCK = {
    "dock_height_m": 1.2,
    "bed_height_m": 1.32,
    "platform_length_m": 1.8,
    "lip_length_m": 0.4,
    "slope_limit_percent": 6,
    "reach_above_m": 0.3,
    "reach_below_m": 0.3,
}


def test_dock_slope_steps() -> None:
    """0.12 m over 2.2 m: the sine, its angle, its tangent in percent; then limit and reach."""
    assert codes("dock-slope", DOCK) == [
        "rise",
        "board",
        "sine",
        "angle",
        "slope",
        "within-limit",
        "within-reach",
    ]
    found = values("dock-slope", DOCK, "sine")
    angle = math.asin(0.12 / 2.2)
    assert (found["rise_m"], found["board_m"], found["sine"]) == (0.12, 2.2, shown(0.12 / 2.2))
    assert found["angle_deg"] == shown(math.degrees(angle))
    assert found["slope_percent"] == shown(100 * math.tan(angle))
    assert found["steep_percent"] == found["slope_percent"] > 0
    down = DOCK | {"bed_height_m": 0.8, "slope_limit_percent": 5}
    assert codes("dock-slope", down)[-2:] == ["beyond-limit", "beyond-reach"]
    found = values("dock-slope", down, "slope")
    assert found["rise_m"] == -0.4
    assert found["steep_percent"] == -found["slope_percent"] > 0


def test_counterbalance_steps_at_the_hardest_angle() -> None:
    """Everything at the angle of the least net moment: anchors turned, length, extension, pull, moments."""
    question = BALANCED | FALLING | {"half_turns": 4}
    assert codes("counterbalance", question) == [
        "angle",
        "anchor-x",
        "anchor-y",
        "length",
        "extension",
        "pull",
        "spring-moment",
        "gravity-rising",
        "net-rising",
        "gravity-walking",
        "net-walking",
        "walk-down-none",
    ]
    found = values("counterbalance", question, "angle")
    angle = math.radians(found["angle_deg"])
    assert found["angle_deg"] == 12  # it stalls on the way up
    x = 0.1 * math.cos(angle) + 0.42 * math.sin(angle)
    y = 0.1 * math.sin(angle) - 0.42 * math.cos(angle)
    length = math.hypot(1.4 - x, -0.4 - y)
    extension = length - 0.6 + 4 * 0.0025 / 2
    wanted = {
        "turned_x_m": x,
        "turned_y_m": y,
        "length_m": length,
        "extension_m": extension,
        "force_n": 300 + 5000 * extension,
    }
    assert {name: found[name] for name in wanted} == {name: shown(each, 7) for name, each in wanted.items()}
    assert found["gravity"] == 9.80665
    weight = 300 * 0.9 * math.cos(angle) + 40 * (1.82 * math.cos(angle) + 0.2 * math.sin(angle))
    assert found["gravity_rising_nm"] == shown(-9.80665 * weight, 7)


@pytest.mark.parametrize(
    ("changes", "pull", "down"),
    [
        ({"free_length_m": 3.0}, "pull-none", "walk-down-none"),
        ({"friction_moment_nm": 9000}, "pull", "walk-down"),
    ],
)
def test_counterbalance_says_what_is_none(changes: dict[str, Any], pull: str, down: str) -> None:
    """A spring not longer than free pulls nothing, and a platform that comes down by itself needs nobody."""
    question = BALANCED | changes
    found = codes("counterbalance", question)
    assert (found[5], found[-1]) == (pull, down)
    if pull == "pull-none":
        assert values("counterbalance", question, "angle")["force_n"] == 0


def test_counterbalance_says_the_least_that_has_to_be_walked_down() -> None:
    """Half a newton-meter left has to be walked down; none has not."""
    curve = ask("counterbalance", BALANCED)["curve"]
    for moment, code in ((0.5, "walk-down"), (0.0, "walk-down-none")):
        answer = {"curve": [curve[0] | {"net_walking_nm": moment}]}
        assert counterbalance_working.lines(BALANCED, answer)[-1]["code"] == f"counterbalance.working.{code}"


def cycle(half_turns: int, rise: str, *, effort: float | None = None, lip: bool = True) -> dict[str, Any]:
    """One observed cycle, easily walked down."""
    return {
        "half_turns": half_turns,
        "rise": rise,
        "lip_extended": lip,
        "walk_down": "easy",
        "walk_down_effort_n": effort,
    }


SPRINGS = {"half_turns_min": -4, "half_turns_max": 4, "spring_count": 2, "walk_down_limit_n": 250}


def test_mainspring_steps() -> None:
    """Each cycle with what it was sorted as and its effort, the bands, and what most of those here say."""
    eased = [cycle(0, "full-gentle", effort=effort) for effort in (250, 251)]
    found = steps("mainspring-plan", {"cycles": [cycle(-1, "short", lip=False), *eased], **SPRINGS})
    assert [code for code, _ in found] == [
        "cycle",
        "cycle",
        "effort-within",
        "cycle",
        "effort-over",
        "band",
        "band",
        "differ",
    ]
    first = found[0][1]
    assert (first["number"], first["half_turns"]) == (1, -1)
    parts = [first[name]["code"] for name in ("rise", "lip", "walk_down", "level")]
    assert [code.removeprefix("mainspring-plan.") for code in parts] == [
        "rise.short",
        "working.lip-not-out",
        "walk_down.easy",
        "shows.too-low",
    ]
    assert found[1][1]["lip"]["code"] == "mainspring-plan.working.lip-out"
    assert found[2][1] == {"effort_n": 250, "limit_n": 250}
    assert found[3][1]["level"]["code"] == "mainspring-plan.shows.too-high"
    assert [
        (values["level"]["code"].rpartition(".")[2], values["settings"])
        for code, values in found
        if code == "band"
    ] == [("too-low", "\u22121"), ("too-high", "0")]
    assert found[-1][1] == {"half_turns": 0, "count": 2}  # one good, one too high: neither is more than half


def test_mainspring_bands_name_their_settings() -> None:
    """Settings that showed the same stand in one band, with commas between them."""
    found = steps("mainspring-plan", {"cycles": [cycle(-2, "short"), cycle(-1, "short")], **SPRINGS})
    assert [values["settings"] for code, values in found if code == "band"] == ["\u22122, \u22121"]


def test_mainspring_steps_of_one_of_two_alike_and_of_many() -> None:
    """One cycle has none to agree with, two alike agree, two of three are most; eight are written out."""
    good = cycle(2, "full-gentle")
    one = steps("mainspring-plan", {"cycles": [cycle(0, "short"), good], **SPRINGS})
    assert one[-1] == ("only-one", {"half_turns": 2, "count": 1})
    for cycles, most in (([good, good], 2), ([good, cycle(2, "short"), good], 2), ([good] * 3, 3)):
        code, told = steps("mainspring-plan", {"cycles": cycles, **SPRINGS})[-1]
        assert (code, told["half_turns"], told["count"], told["most"]) == ("agree", 2, len(cycles), most)
        assert told["level"]["code"] == "mainspring-plan.shows.good"
    for count, earlier in ((8, []), (9, [1]), (10, [2])):
        found = steps("mainspring-plan", {"cycles": [cycle(0, "short")] * (count - 1) + [good], **SPRINGS})
        assert [values["count"] for code, values in found if code == "earlier"] == earlier
        assert [values["number"] for code, values in found if code == "cycle"] == list(
            range(count - 7, count + 1)
        )


def task(name: str, **changes: Any) -> dict[str, Any]:
    """A task due every month, last done when the plan begins."""
    usual = {"name": name, "every": 1, "unit": "month", "last_done": "2026-01-01", "every_cycles": None}
    return usual | changes


PLAN = {"start": "2026-01-01", "until": "2026-03-31", "cycles_per_day": 8}


def test_service_plan_steps() -> None:
    """Cycles become days, the first job tells why it is due and how many follow; what is not due is said."""
    tasks = [task("Grease", every=None, unit=None, every_cycles=244), task("Look", every=10, unit="year")]
    found = steps("service-plan", {**PLAN, "tasks": tasks})
    assert [code for code, _ in found] == ["cycles", "first", "none"]
    assert found[0][1] == {"task": "Grease", "every_cycles": 244, "per_day": 8, "days": 30.5}
    first = found[1][1]
    assert (first["task"], first["latest"], first["date"], first["count"]) == (
        "Grease",
        "2026-01-31",
        "2026-01-31",
        2,
    )  # every 30 whole days: January 31 and March 2
    assert first["why"]["code"].startswith("service-plan.")
    assert first["why"]["values"]
    assert found[2][1] == {"task": "Look"}


def test_service_plan_steps_of_many_tasks() -> None:
    """From the thirteenth task on they are counted; without cycles none are turned into days."""
    for count in (12, 13, 15):
        found = steps("service-plan", {**PLAN, "tasks": [task(f"Task {i}") for i in range(count)]})
        assert [code for code, _ in found].count("first") == 12
        more = [values["count"] for code, values in found if code == "more"]
        assert more == ([count - 12] if count > 12 else [])
    bare = {**PLAN, "cycles_per_day": None, "tasks": [task("Look")]}
    assert codes("service-plan", bare) == ["first"]
