"""What pictures say: each text alternative and legend has the numbers of an answer made by hand, in order."""

from __future__ import annotations

from datetime import date

import pytest

from calculators.counterbalance import picture as counterbalance_picture
from calculators.fold_time import picture as fold_time_picture
from calculators.fold_trend import picture as fold_trend_picture
from calculators.mainspring_plan import picture as mainspring_plan_picture
from calculators.turn_plan import picture as turn_plan_picture
from tests.calculators.drawing.picture_answers import (
    BAND,
    CURVE,
    CYCLES,
    FOLDS,
    LINE,
    MEAN,
    PREDICTED,
    SERIES,
    SPRINGS,
    TRAVEL,
    TREND,
    VISIT,
    VISITS,
    WINDOW,
    drawn,
    moments,
)
from tests.calculators.drawing.picture_hearing import Heard, codes, heard
from tests.calculators.drawing.picture_reading import Drawn, parsed


def legend(shown: Drawn) -> str:
    """All words of the legend, in order."""
    return " ".join(shown.texts("legend"))


@pytest.mark.parametrize("verdict", ["too-quick", "in-window", "too-slow", "undecided"])
def test_fold_time_says_runs_interval_window_and_verdict(verdict: str) -> None:
    """Count and extremes of the runs, the mean with its interval and confidence, the limits, the verdict."""
    shown, alternative = drawn(fold_time_picture, FOLDS, MEAN | {"verdict": verdict})
    assert codes(alternative) == ["told-runs", "told-interval", "told-window", f"told-{verdict}"]
    assert heard(alternative)[0][1] == {
        "count": "3",
        "least_s": "16.4",
        "most_s": "17.6",
        "percent": "95.0",
        "low_s": "18.0",
        "high_s": "20.0",
        "mean_s": "17.1",
        "from_s": "16.5",
        "to_s": "17.5",
    }
    assert heard(legend(shown)) == [("interval", {"percent": "95.0"})]
    assert [heard(text)[0] for text in shown.texts("label")] == [
        ("allowed", {"low_s": "18.0", "high_s": "20.0"}),
        ("run", {"number": "1"}),
        ("run", {"number": "2"}),
        ("run", {"number": "3"}),
        ("mean", {}),
        ("mean-value", {"mean_s": "17.1"}),
    ]
    assert codes(" ".join(shown.texts("title"))) == ["seconds"]


def test_fold_time_says_one_run_as_one() -> None:
    """A single run has no range."""
    _, alternative = drawn(fold_time_picture, FOLDS | {"runs_s": (17.0,)}, MEAN)
    assert codes(alternative)[0] == "told-one"
    _, alternative = drawn(fold_time_picture, FOLDS | {"runs_s": (17.0, 17.0)}, MEAN)
    assert codes(alternative)[0] == "told-runs"


def test_turn_plan_says_timings_line_predictions_and_end() -> None:
    """Extremes, settings and nut; window; which way the line goes and how far; likely end; limits."""
    shown, alternative = drawn(turn_plan_picture, VISIT, LINE)
    assert heard(alternative) == [
        (
            "told-readings",
            {
                "count": "3",
                "least_s": "15.2",
                "most_s": "17.0",
                "loosest": "\u22121",
                "tightest": "1",
                "present": "1",
            },
        ),
        ("told-window", {"low_s": "18.0", "high_s": "20.0"}),
        ("told-slower", {}),
        ("told-predictions", {"loosest": "0", "tightest": "3", "least_s": "16.0", "most_s": "19.4"}),
        ("told-goal", {"setting": "3", "fold_time_s": "19.4"}),
        ("limits-lowest-highest", {"lowest": "\u22122", "highest": "3"}),
    ]
    assert heard(legend(shown)) == [
        ("window", {}),
        ("reading", {}),
        ("line", {}),
        ("band", {"percent": "95.0"}),
        ("goal", {}),
        ("nut", {}),
        ("next", {}),
        ("limits-lowest-highest", {"lowest": "\u22122", "highest": "3"}),
    ]
    assert [heard(text)[0] for text in shown.texts("label")] == [
        ("limit", {"limit_s": "18.0"}),
        ("limit", {"limit_s": "20.0"}),
    ]
    assert codes(" ".join(shown.texts("title"))) == ["half-turns", "seconds"]


@pytest.mark.parametrize(("slope", "way"), [(-0.001, "slower"), (0.0, "level"), (0.001, "quicker")])
def test_turn_plan_says_which_way_the_line_goes(slope: float, way: str) -> None:
    """A falling rate is a slower fold; a level line is said to be one."""
    _, alternative = drawn(turn_plan_picture, VISIT, LINE | {"rate_slope": slope})
    assert f"told-{way}" in codes(alternative)
    assert len({"told-slower", "told-level", "told-quicker"} & set(codes(alternative))) == 1


def test_turn_plan_without_a_line_says_less() -> None:
    """Without line, predictions or order none is in words or legend; one prediction alone makes no band."""
    bare = {"predictions": [], "rate_intercept": None, "rate_slope": None}
    shown, alternative = drawn(turn_plan_picture, VISIT | {"half_turns_max": None}, bare)
    assert codes(alternative) == ["told-readings", "told-window", "limits-lowest"]
    assert codes(legend(shown)) == ["window", "reading", "nut", "limits-lowest"]
    two = {**LINE, "predictions": PREDICTED[1:3]}
    assert "band" in codes(legend(drawn(turn_plan_picture, VISIT, two)[0]))
    one = {**LINE, "predictions": PREDICTED[1:2], "half_turns_to_go": 0, "do_now": 0}
    shown, alternative = drawn(turn_plan_picture, VISIT, one)
    assert codes(alternative)[2:] == ["told-slower", "told-predictions", "limits-lowest-highest"]
    assert codes(legend(shown)) == ["window", "reading", "line", "nut", "limits-lowest-highest"]


def test_mainspring_says_cycles_bands_and_limits() -> None:
    """How many, where the nuts are, each band's settings, that one setting showed two, the limits."""
    shown, alternative = drawn(mainspring_plan_picture, SPRINGS, {"known_band": BAND, "do_now": -1})
    assert heard(alternative) == [
        ("told-cycles", {"count": "4", "present": "1"}),
        ("told-too-low", {"settings": "\u22121"}),
        ("told-good", {"settings": "0"}),
        ("told-too-high", {"settings": "1, 2"}),
        ("told-earlier", {}),
        ("limits-lowest-highest", {"lowest": "\u22122", "highest": "3"}),
    ]
    assert codes(legend(shown)) == ["latest", "earlier", "nut", "next", "limits-lowest-highest"]
    assert codes(" ".join(shown.texts("label"))) == ["too-high", "good", "too-low"]
    assert codes(" ".join(shown.texts("title"))) == ["half-turns"]


def test_mainspring_says_one_cycle_as_one() -> None:
    """A single cycle is named as one; empty bands, and a disagreement that is none, are not named."""
    band = [row if row["shows"] == "good" else row | {"half_turns": []} for row in BAND]
    alone = SPRINGS | {"cycles": CYCLES[2:3], "half_turns_min": None}
    shown, alternative = drawn(mainspring_plan_picture, alone, {"known_band": band})
    assert heard(alternative)[:2] == [
        ("told-cycle", {"count": "1", "present": "0"}),
        ("told-good", {"settings": "0"}),
    ]
    assert codes(alternative)[2:] == ["limits-highest"]
    assert codes(legend(shown)) == ["nut", "limits-highest"]
    _, alternative = drawn(mainspring_plan_picture, SPRINGS | {"cycles": CYCLES[2:]}, {"known_band": band})
    assert codes(alternative)[0] == "told-cycles"


def test_counterbalance_says_travel_moments_stall_and_weight() -> None:
    """Both curves' ends and extremes, where it stalls, what walks it down, where springs hang loose."""
    shown, alternative = drawn(counterbalance_picture, TRAVEL, CURVE)
    assert heard(alternative) == [
        ("told-travel", {"low_deg": "-8.0", "high_deg": "12.0"}),
        ("told-rising", {"first_nm": "40", "last_nm": "-30", "least_nm": "-30", "most_nm": "40"}),
        ("told-walking", {"first_nm": "90", "last_nm": "110", "least_nm": "90", "most_nm": "130"}),
        ("told-stall", {"angle_deg": "5.0"}),
        ("told-band", {"limit_n": "300.0", "peak_n": "87.0"}),
        ("told-slack", {"first_deg": "12.0", "last_deg": "12.0"}),
    ]
    assert heard(legend(shown)) == [
        ("rising", {}),
        ("walking", {}),
        ("band", {"limit_n": "300.0"}),
        ("stall", {"angle_deg": "5.0"}),
        ("slack", {}),
    ]
    assert codes(" ".join(shown.texts("title"))) == ["degrees", "moment"]


def test_counterbalance_says_that_it_rises_or_does_not() -> None:
    """Without a stall it rises; one at the lowest angle is none on the way; loose springs are told if any."""
    shown, alternative = drawn(counterbalance_picture, TRAVEL, CURVE | {"stall_angle_deg": None, "slack": []})
    assert codes(alternative)[3:] == ["told-rises", "told-band"]
    assert codes(legend(shown)) == ["rising", "walking", "band"]
    shown, alternative = drawn(counterbalance_picture, TRAVEL, CURVE | {"stall_angle_deg": -8.0})
    assert codes(alternative)[3] == "told-stall-lowest"
    assert codes(legend(shown))[3] == "stall-lowest"


@pytest.mark.parametrize(
    ("times", "unit"),
    [(71, "N·m"), (-71, "N·m"), (72, "kN·m"), (-72, "kN·m"), (71e3, "kN·m"), (72e3, "MN·m")],
)
def test_counterbalance_writes_moments_in_a_unit_of_their_size(times: float, unit: str) -> None:
    """By hand: the axis ends at 139.6 N m and its multiples, and from ten of a unit on that is used."""
    shown = drawn_times(times, Heard("counterbalance", {}))
    assert heard(" ".join(shown.texts("title")))[1] == ("moment", {"unit": unit})


@pytest.mark.parametrize(
    ("times", "unit"), [(1, "lbf·ft"), (89, "lbf·ft"), (90, "1000 lbf·ft"), (9e4, "1000000 lbf·ft")]
)
def test_counterbalance_writes_moments_in_the_readers_unit(times: float, unit: str) -> None:
    """Where the reader's unit is 1.25 N m, the numbers along the axis are those of N m divided by that."""
    shown = drawn_times(times, Heard("counterbalance", {}, 0.0, {"N·m": ("lbf·ft", 1.25)}))
    plain = drawn_times(times / 1.25, Heard("counterbalance", {}))
    assert heard(" ".join(shown.texts("title")))[1] == ("moment", {"unit": unit})
    assert shown.texts("y-tick") == plain.texts("y-tick")
    assert "0" in shown.texts("y-tick")


def drawn_times(times: float, words: Heard) -> Drawn:
    """The picture of a counterbalance whose moments are so many times those of CURVE."""
    rows = moments(
        *(
            (row["angle_deg"], times * row["net_rising_nm"], times * row["net_walking_nm"])
            for row in CURVE["curve"]
        )
    )
    inputs = TRAVEL | {"walk_down_limit_n": 1e-9}
    return parsed(counterbalance_picture.draw(inputs, CURVE | {"curve": rows}, words)[0])


def test_fold_trend_says_visits_line_and_days() -> None:
    """Count and extremes, how many since the last change, the line's ends, each day that the answer names."""
    shown, alternative = drawn(fold_trend_picture, VISITS, TREND)
    assert heard(alternative) == [
        (
            "told-visits",
            {
                "count": "4",
                "of_run": "3",
                "first": "2026-01-10",
                "last": "2026-04-11",
                "least_s": "17.0",
                "most_s": "19.3",
            },
        ),
        ("told-window", {"low_s": "18.0", "high_s": "20.0"}),
        ("told-line", {"began": "2026-02-10", "from_s": "18.4", "ends": "2026-05-11", "to_s": "19.6"}),
        ("told-leaves", {"day": "2026-06-10"}),
        ("told-earliest", {"day": "2026-05-20"}),
        ("told-latest", {"day": "2026-07-10"}),
        ("told-check", {"day": "2026-05-11"}),
    ]
    assert heard(legend(shown)) == [
        ("window", {}),
        ("visit", {}),
        ("visit-before", {}),
        ("changed", {}),
        ("line", {}),
        ("band", {"percent": "95.0"}),
        ("check", {"day": "2026-05-11"}),
        ("leaves", {"day": "2026-06-10"}),
    ]
    assert codes(" ".join(shown.texts("title"))) == ["date", "seconds"]


def test_fold_trend_says_one_visit_as_one() -> None:
    """Without a line, and without days that nobody knows, none is named."""
    bare = TREND | {
        "series": SERIES[:1],
        "leaves_window_on": None,
        "earliest": None,
        "latest": None,
        "slope_s_per_30_days": None,
    }
    shown, alternative = drawn(fold_trend_picture, VISITS, bare)
    assert codes(alternative) == ["told-visit", "told-window", "told-check"]
    assert codes(legend(shown)) == ["window", "visit", "check"]
    _, alternative = drawn(fold_trend_picture, VISITS, bare | {"series": [SERIES[0], SERIES[0]]})
    assert codes(alternative)[0] == "told-visits"


def test_fold_trend_after_an_adjustment_has_no_visit_since() -> None:
    """What was timed before the adjustment is all before it."""
    adjusted = {"visits": [{"date": date(2026, 1, 10), "adjusted_half_turns": 1}], **WINDOW}
    bare = TREND | {
        "series": SERIES[:1],
        "leaves_window_on": None,
        "earliest": None,
        "latest": None,
        "slope_s_per_30_days": None,
    }
    shown, alternative = drawn(fold_trend_picture, adjusted, bare)
    assert codes(legend(shown)) == ["window", "visit-before", "changed", "check"]
    assert heard(alternative)[0][1]["of_run"] == "0"
