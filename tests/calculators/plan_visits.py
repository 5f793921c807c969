"""Visits that a plan of half turns may be asked about: most of them near what is timed or seen."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from calculators.mainspring_plan import calculator as mainspring_plan

OBSERVED = st.fixed_dictionaries(
    {
        "rise": st.sampled_from(mainspring_plan.RISES),
        "lip_extended": st.booleans(),
        "walk_down": st.sampled_from(mainspring_plan.WALK_DOWNS),
        "walk_down_effort_n": st.sampled_from([None, 100.0, 250.0, 250.5]),
    }
)


@st.composite
def turn_visits(draw: st.DrawFn) -> dict[str, Any]:
    """Draw timings of a lip-assist spring, most of them near what a lip does."""
    slope, start = draw(st.floats(-0.02, 0.01)), draw(st.floats(0.02, 0.2))
    spread = draw(st.sampled_from([0.0, 0.1, 0.3, 3.0]))
    path = draw(st.lists(st.integers(-3, 3), min_size=1, max_size=12))
    readings = [
        {
            "half_turns": n,
            "fold_time_s": min(
                600.0, max(0.2, 1 / max(start + slope * n, 0.002) + spread * draw(st.floats(-1, 1)))
            ),
        }
        for n in path
        if path.count(n) <= 10
    ]
    low = draw(st.floats(1, 60))
    prior = draw(st.sampled_from([None, (-0.004, 0.001), (0.0, 1.0), (-1.0, 1e-6)]))
    return {
        "readings": readings or [{"half_turns": 0, "fold_time_s": 16.0}],
        "window_low_s": low,
        "window_high_s": low + draw(st.floats(0.1, 20)),
        "timing_uncertainty_s": draw(st.sampled_from([0.005, 0.1, 0.4, 5.0])),
        "confidence": draw(st.sampled_from([0.5, 0.95, 0.999])),
        "half_turns_min": draw(st.sampled_from([None, -3, -8, -100])),
        "half_turns_max": draw(st.sampled_from([None, 3, 8, 100])),
        "least_response_s": draw(st.sampled_from([0.001, 0.5, 60.0])),
        "prior_slope_per_s_per_half_turn": prior and prior[0],
        "prior_slope_sd_per_s_per_half_turn": prior and prior[1],
    }


@st.composite
def mainspring_visits(draw: st.DrawFn) -> dict[str, Any]:
    """Draw cycles of mainsprings; many repeat what was seen, so that cycles agree."""
    cycles: list[dict[str, Any]] = []
    for _ in range(draw(st.integers(1, 8))):
        if cycles and draw(st.booleans()):
            cycles.append(dict(cycles[-1]))
        else:
            cycles.append({"half_turns": draw(st.integers(-3, 3)), **draw(OBSERVED)})
    return {
        "cycles": cycles,
        "walk_down_limit_n": 250,
        "spring_count": draw(st.integers(1, 4)),
        "half_turns_min": draw(st.sampled_from([None, -3, -5])),
        "half_turns_max": draw(st.sampled_from([None, 3, 5])),
    }
