"""The steps of workings: which there are, in which order, with numbers worked out here by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from calculators.fold_time import working as fold_time_working
from tests.calculators.asking import ask
from tests.calculators.workings.working_reading import codes, shown, steps, values

WINDOW = {"window_low_s": 18, "window_high_s": 20, "timing_uncertainty_s": 0.1, "confidence": 0.95}
PLAN = {**WINDOW, "half_turns_min": -2, "half_turns_max": 5, "least_response_s": 0.3}


FOLDS = {"runs_s": [16.4, 16.7, 16.5], **WINDOW}


def test_fold_time_steps_of_three_runs() -> None:
    """Mean 49.6/3, squared distances 0.14 / 3, u from both parts, and the limits counted in u."""
    assert codes("fold-time", FOLDS) == [
        "mean",
        "squares",
        "spread",
        "uncertainty",
        "freedom",
        "coverage-student",
        "low",
        "high",
        "window-low",
        "window-high",
        "probability-under",
    ]
    found = values("fold-time", FOLDS, "mean")
    mean, total = 49.6 / 3, 0.14 / 3
    u = math.sqrt(total / 2 / 3 + 0.01)
    assert found["runs"] == (16.4, 16.7, 16.5)
    assert (found["count"], found["less_one"], found["percent"]) == (3, 2, 95)
    assert found["squares"] == [shown((run - mean) ** 2) for run in (16.4, 16.7, 16.5)]
    assert (found["sum_s2"], found["mean_s"]) == (shown(total), shown(mean))
    found = values("fold-time", FOLDS, "probability-under")
    assert (found["low_away"], found["high_away"]) == (shown((18 - mean) / u), shown((20 - mean) / u))
    assert (found["doubt"], found["nearly_all"]) == (0.0001, 0.9999)


def test_fold_time_steps_of_one_run_and_of_runs_that_disagree() -> None:
    """One run has no spread, two alike only what is common, and far ones are held against a limit, if any."""
    normal = ["coverage-normal", "low", "high", "window-low", "window-high"]
    assert codes("fold-time", FOLDS | {"runs_s": [19]}) == [
        "one-run",
        "uncertainty-one-run",
        "freedom-infinite",
        *normal,
        "probability-over",
    ]
    assert codes("fold-time", FOLDS | {"runs_s": [18.1, 18.1]})[3:6] == [
        "uncertainty",
        "freedom-infinite",
        "coverage-normal",
    ]
    limited = FOLDS | {"inspect_limit": 0.025}
    assert codes("fold-time", limited | {"runs_s": [18.1, 18.1]})[3:5] == ["allowed", "agree"]
    assert codes("fold-time", limited | {"runs_s": [16, 20]})[3:5] == ["allowed", "disagree"]
    assert codes("fold-time", FOLDS | {"runs_s": [18.1]})[-1] == "probability"


@pytest.mark.parametrize(
    ("probability", "code"), [(0.00009, "-under"), (0.0001, ""), (0.5, ""), (0.9999, ""), (0.99991, "-over")]
)
def test_fold_time_shows_no_probability_surer_than_one_in_ten_thousand(probability: float, code: str) -> None:
    """From 0.0001 to 0.9999 the number is shown, beyond that only that it is beyond."""
    answer = ask("fold-time", FOLDS) | {"probability_in_window": probability}
    found = fold_time_working.lines(FOLDS, answer)
    assert found[-1]["code"] == f"fold-time.working.probability{code}"


def test_turn_plan_steps_of_two_settings() -> None:
    """16 s twice at 0 and 17 s twice at 1: the line is 1/16 - n/272, weights are (t^2 / u)^2."""
    readings = [{"half_turns": n, "fold_time_s": t} for n, t in ((0, 16.0), (0, 16.0), (1, 17.0), (1, 17.0))]
    question = {"readings": readings, **PLAN}
    judged = [
        "mean",
        "squares",
        "spread",
        "uncertainty",
        "freedom-infinite",
        "coverage-normal",
        "low",
        "high",
        "window-low",
        "window-high",
        "probability-under",
    ]
    assert codes("turn-plan", question) == [
        "present",
        *judged,
        "line",
        *["reading"] * 4,
        "middle-setting",
        "middle-rate",
        "slope",
        "intercept",
        "within",
        "variance-factor",
        "slope-sd",
        "coverage",
        "slope-low",
        "slope-high",
        "predicted",
        "predicted-sd",
        "predicted-low",
        "predicted-bend",
        "predicted-high",
    ]
    assert values("turn-plan", question, "present") == {"half_turns": 1}
    assert values("turn-plan", question, "mean")["runs"] == (17.0, 17.0)
    light, heavy = (16**2 / 0.1) ** 2, (17**2 / 0.1) ** 2
    assert values("turn-plan", question, "reading") == {
        "half_turns": 0,
        "fold_time_s": 16.0,
        "rate": shown(1 / 16),
        "weight": shown(light),
        "scatter_s": 0.1,
    }
    middle = heavy / (light + heavy)
    assert values("turn-plan", question, "middle-setting") == {
        "sum": shown(2 * heavy),
        "total": shown(2 * (light + heavy)),
        "middle": shown(middle),
    }
    rates, total = 2 * (light / 16 + heavy / 17), 2 * (light + heavy)
    assert values("turn-plan", question, "middle-rate") == {
        "sum": shown(rates),
        "total": shown(total),
        "level": shown(rates / total),
    }
    slope = values("turn-plan", question, "slope")
    spread = 2 * light * middle**2 + 2 * heavy * (1 - middle) ** 2
    assert (slope["spread"], slope["moment"]) == (shown(spread), shown(-spread / 272))
    assert (slope["rate_slope"], slope["rate_intercept"]) == (shown(-1 / 272), shown(1 / 16))
    assert (slope["known"], slope["spare"], slope["degrees"], slope["percent"]) == (8, 2, 10, 95)
    assert slope["variance_factor"] == shown(8 / 10)
    assert slope["coverage"] == shown(2.2281388519649385)  # Student t, 10 degrees of freedom, 97.5 %
    sd = math.sqrt(0.8 / spread)
    assert slope["slope_sd"] == shown(sd)
    assert (slope["low"], slope["high"]) == (
        shown(-1 / 272 - 2.2281388519649385 * sd),
        shown(-1 / 272 + 2.2281388519649385 * sd),
    )


def test_turn_plan_works_out_the_time_after_its_half_turn() -> None:
    """Where a half turn is asked for, that of the setting after it: 272/15 s at 2; else the present one."""
    readings = [{"half_turns": n, "fold_time_s": t} for n, t in ((0, 16.0), (0, 16.0), (1, 17.0), (1, 17.0))]
    found = values("turn-plan", {"readings": readings, **PLAN}, "predicted")
    assert (found["half_turns"], found["rate"], found["fold_time_s"]) == (2, shown(15 / 272), shown(272 / 15))
    row = next(
        row
        for row in ask("turn-plan", {"readings": readings, **PLAN})["predictions"]
        if row["half_turns"] == 2
    )
    slowest = values("turn-plan", {"readings": readings, **PLAN}, "predicted-high")
    assert (slowest["low_s"], slowest["high_s"]) == (shown(row["low_s"]), shown(row["high_s"]))
    good = [{"half_turns": n, "fold_time_s": t} for n, t in ((0, 18.0), (0, 18.0), (1, 19.0), (1, 19.0))]
    found = values("turn-plan", {"readings": good, **PLAN}, "predicted")
    assert (found["half_turns"], found["fold_time_s"]) == (1, shown(19))


def test_turn_plan_steps_without_a_line_and_with_many_timings() -> None:
    """One setting gives no line; from the seventh timing on they are counted."""
    one = {"readings": [{"half_turns": 3, "fold_time_s": 16.0}] * 2, **PLAN}
    assert codes("turn-plan", one)[-1] == "no-line"
    for count, more in ((6, []), (7, ["more"]), (8, ["more"])):
        many = [{"half_turns": n, "fold_time_s": 16.0 + n / 2} for n in (0, 1, 2, 0, 1, 2, 0, 1)][:count]
        found = steps("turn-plan", {"readings": many, **PLAN})
        assert [code for code, _ in found].count("reading") == 6
        assert [values["count"] for code, values in found if code == "more"] == ([count - 6] if more else [])


def test_turn_plan_steps_with_a_history() -> None:
    """The slope says that the history is in it, with its mean and standard deviation."""
    history = {"prior_slope_per_s_per_half_turn": -0.004, "prior_slope_sd_per_s_per_half_turn": 0.001}
    readings = [{"half_turns": 0, "fold_time_s": 16.0}, {"half_turns": 0, "fold_time_s": 16.1}]
    found = codes("turn-plan", {"readings": readings, **PLAN, **history})
    assert "slope-history" in found and "slope" not in found
    slope = values("turn-plan", {"readings": readings, **PLAN, **history}, "slope-history")
    assert (slope["prior"], slope["prior_sd"]) == (-0.004, 0.001)


def visits(*times: float) -> dict[str, Any]:
    """A visit a month of 30 days, none with an adjustment."""
    days = ("2026-01-01", "2026-01-31", "2026-03-02", "2026-04-01", "2026-05-01", "2026-05-31", "2026-06-30")
    rows = [
        {"date": day, "fold_time_s": time, "adjusted_half_turns": 0}
        for day, time in zip(days, times, strict=False)
    ]
    return {"visits": rows, **WINDOW, "timing_uncertainty_s": 0.02, "longest_interval_months": 6}


def test_fold_trend_steps_of_four_visits() -> None:
    """By hand: days 0 to 90 and times 18 to 18.8 s, slope 39/4500 s a day, squares left 0.002 s2."""
    question = visits(18.0, 18.3, 18.5, 18.8)
    assert codes("fold-trend", question) == [
        "visits",
        *["visit"] * 4,
        "middle-day",
        "middle-time",
        "slope",
        "slope-30",
        "scatter",
        "least-scatter",
        "taken-scatter",
        "slope-sd",
        "reach",
        "drifts",
        "leaves",
        "temperatures-lacking",
    ]
    assert [found for code, found in steps("fold-trend", question) if code in ("visits", "visit")] == [
        {"count": 4, "first": "2026-01-01"},
        *({"day": day, "fold_time_s": time} for day, time in ((0, 18.0), (30, 18.3), (60, 18.5), (90, 18.8))),
    ]
    found = values("fold-trend", question, "slope")
    slope, student, normal = 39 / 4500, 4.30265272974946, 1.959963984540054  # 97.5 %, 2 and infinite degrees
    assert (found["sum_days"], found["sum_times"]) == (180, shown(73.6, 8))
    assert (found["middle_day"], found["middle_time"]) == (45, shown(18.4, 8))
    assert (found["moment"], found["spread"], found["slope"]) == (shown(39), 4500, shown(slope))
    assert (found["squares"], found["residual_sd"]) == (shown(0.002), shown(math.sqrt(0.001)))
    assert (found["normal"], found["student"], found["share"]) == (shown(normal), shown(student), 0.5)
    assert found["least"] == shown(normal / student * 0.5 * 0.02)
    assert (found["taken"], found["percent"], found["degrees"]) == (shown(math.sqrt(0.001)), 95, 2)
    slope_sd = 30 * math.sqrt(0.001 / 4500)
    assert (found["slope_sd"], found["reach"]) == (shown(slope_sd), shown(student * slope_sd))
    assert (found["slope_s_per_30_days"], found["limit_s"]) == (shown(0.26), 20)
    assert (found["day"], found["first"]) == (shown(45 + 1.6 / slope, 6), "2026-01-01")
    assert found["leaves_window_on"] == "2026-08-18"  # day 229.6


def test_fold_trend_steps_take_the_bias_off_and_compare_temperatures() -> None:
    """18.56 s by hand, stopped sharply: -0.55 and 0.11 s off make 19 s; 21, 15, 18 and 25 are 10 apart."""
    question = visits(18.56, 18.86, 19.61, 19.36)
    ways = {"by-hand": -0.55, "sharp": 0.11, "helper": 0, "no-longer-moves": 0.3}
    question["timing"] = [
        {"way": way, "bias_s": bias, "bias_uncertainty_s": 0.1, "scatter_s": 0.1}
        for way, bias in ways.items()
    ]
    question["stopped"] = "sharp"
    for row, temperature in zip(question["visits"], (21, 15, 18, 25), strict=True):
        row["temperature_c"] = temperature
    question["visits"][2] |= {"started": "helper"}
    found = [each for code, each in steps("fold-trend", question) if code == "corrected"]
    assert [(each["shown_s"], each["bias"], each["fold_time_s"]) for each in found] == [
        (18.56, [-0.55, 0.11], 19.0),
        (18.86, [-0.55, 0.11], 19.3),
        (19.61, [0.11], 19.5),
        (19.36, [-0.55, 0.11], 19.8),
    ]
    (compared,) = (each for code, each in steps("fold-trend", question) if code == "temperatures")
    assert (compared["temperatures"], compared["apart"]) == ((21, 15, 18, 25), 10)


def test_fold_trend_steps_keep_a_visit_where_the_line_is_down_to_zero() -> None:
    """By hand: moment -225 over 4500; the line is at zero on the last day, whose visit still counts."""
    found = values("fold-trend", visits(6.0, 1.0, 1.0, 1.0), "slope")
    assert (found["count"], found["middle_time"], found["moment"]) == (4, 2.25, -225)
    assert (found["slope"], found["slope_s_per_30_days"]) == (-0.05, -1.5)


def test_fold_trend_sums_are_shown_with_eight_digits() -> None:
    """Sum and mean of the times keep eight digits, since small distances are taken from them."""
    found = values("fold-trend", visits(18.0001, 18.3002, 18.5003, 18.80076543), "middle-time")
    assert (found["sum_times"], found["middle_time"]) == (73.601365, 18.400341)


def test_fold_trend_steps_of_a_falling_or_steady_line() -> None:
    """A line that falls leads to the lower limit; one that is level leads nowhere and says so."""
    assert values("fold-trend", visits(19.8, 19.5, 19.3, 19.0), "slope")["limit_s"] == 18
    steady = visits(19.0, 19.1, 19.1, 19.0)
    assert codes("fold-trend", steady)[-1] == "steady"
    found = values("fold-trend", steady, "slope")
    assert (found["leaves_window_on"], found["day"]) == ("", 0)


def test_fold_trend_steps_of_few_and_of_many_visits() -> None:
    """Three visits give no line; from the seventh on visits are counted."""
    ((code, found),) = steps("fold-trend", visits(18.0, 18.3, 18.5))
    assert (code, found["least"], found["state"]["code"]) == ("no-line", 4, "fold-trend.state.too-few")
    times = (18.0, 18.2, 18.4, 18.6, 18.8, 19.0, 19.2)
    for count in (6, 7):
        found_steps = steps("fold-trend", visits(*times[:count]))
        assert [code for code, _ in found_steps].count("visit") == 6
        assert [found["count"] for code, found in found_steps if code == "more"] == [1] * (count - 6)
