"""Where fold-trend's decisions turn over: a time on a limit, and a jump that stays within the window."""

from __future__ import annotations

from typing import Any

import pytest

from tests.calculators.asking import ask

DAYS = ("2026-01-01", "2026-01-31", "2026-03-02", "2026-04-01", "2026-05-01")


def trend(*times: float, timing_uncertainty_s: float = 0.1) -> dict[str, Any]:
    """The answer to a visit a month, none with an adjustment, window 18 to 20 s."""
    visits = [
        {"date": day, "fold_time_s": time, "adjusted_half_turns": 0}
        for day, time in zip(DAYS, times, strict=False)
    ]
    return ask(
        "fold-trend",
        {
            "visits": visits,
            "window_low_s": 18,
            "window_high_s": 20,
            "confidence": 0.95,
            "timing_uncertainty_s": timing_uncertainty_s,
            "longest_interval_months": 3,
        },
    )


@pytest.mark.parametrize(("inside", "outside"), [(18, 17.999), (20, 20.001)])
@pytest.mark.parametrize("count", [1, 4])
def test_a_time_on_a_limit_lies_in_the_window(count: int, inside: float, outside: float) -> None:
    """The last visit, and a level line through four alike, are outside only beyond the limit."""
    assert trend(*[inside] * count)["headline"]["code"] != "fold-trend.headline.outside"
    assert trend(*[outside] * count)["headline"]["code"] == "fold-trend.headline.outside"


def test_a_jump_is_judged_at_once_wherever_it_lands() -> None:
    """A visit that its run did not foresee asks for a check that day, though it is in the window."""
    found = trend(19.0, 19.01, 19.0, 19.01, 19.9, timing_uncertainty_s=0.01)
    assert (found["state"], found["next_check_by"]) == ("jump", DAYS[4])
    calm = trend(19.0, 19.01, 19.0, 19.01, 19.0, timing_uncertainty_s=0.01)
    assert (calm["state"], calm["next_check_by"]) == ("steady", "2026-08-01")
