"""How do springs balance a platform: where does it rise, where does it stall, how hard is it to walk down?

The hinge is the origin, x runs toward the lip, y up; angles count upward from level. With the frame's anchor
A, the platform's anchor B turned along by the angle t, n springs of rate k, initial tension F0 and free
length L0, a thread of pitch p, and h half turns made:

    L = |A - B|     e = L - L0 + h p/2     F = F0 + k e  while e > 0, else 0
    spring moment = n F (Bx Ay - By Ax) / L
    gravity = -g (m_platform c cos t + m_lip (x cos t - y sin t)),   g = 9.80665 m/s2
    net rising = spring moment + gravity (lip stored) - friction
    net walking = spring moment + gravity (lip extended) + friction
    walk-down force = net walking / (x_person cos t), 0 where that is negative

All moments count upward. It rises through its travel where net rising is above 0 at every angle, and stalls
at the first angle where it is not.

Limits: everything is at rest or slow, so nothing carries the platform through a weak spot, and no blow at the
stops is told. Springs are straight, alike, weightless, and never coil-bound or overstretched; friction is one
moment at every angle. Extremes are looked for every tenth of a degree, settings up to 100 half turns either
way.

Source: statics of any textbook, from memory; that the moment is minus the slope of the potential energy is
held in tests/outside. A half turn takes half a pitch out of the free length: geometry of a single-start
thread. Lip stored on the way up and extended on the way down: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from calculators.counterbalance import sentences
from calculators.counterbalance.fields import CURVE, INPUTS
from calculators.counterbalance.half_turn_band import Band, rising_band, walking_band
from calculators.counterbalance.travel import Travel, travel
from calculators.shared.fields import BadInput, InputProblem, Output
from calculators.shared.half_turns import FARTHEST
from calculators.shared.leveler_moments import Leveler
from calculators.shared.spring_geometry import LEAST_LENGTH_M, Point, Spring

NAME = "counterbalance"
__all__ = ["INPUTS", "NAME", "OUTPUTS", "calculate"]

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(
        name="rises_through_travel",
        kind="flag",
        label="Rises through its travel",
        help="Whether the springs lift at every angle, with the lip stored.",
    ),
    Output(
        name="stall_angle_deg",
        kind="number",
        unit="°",
        may_be_null=True,
        label="Stalls at",
        help="The first angle on the way up at which the springs no longer lift; none where they all do.",
    ),
    Output(
        name="peak_walk_down_force_n",
        kind="number",
        unit="N",
        label="Most force to walk it down",
        help="Weight of a person that is needed at the hardest angle, with the lip extended.",
    ),
    Output(
        name="half_turn_force_change_n",
        kind="number",
        unit="N",
        label="Change by one half turn more",
        help="How much the most force to walk it down changes when every spring gets one half turn more.",
    ),
    Output(
        name="half_turns_low",
        kind="whole",
        unit="half turn",
        may_be_null=True,
        label="Loosest setting",
        help="From here on the platform both rises and walks down; none where no setting does both.",
    ),
    Output(
        name="half_turns_high",
        kind="whole",
        unit="half turn",
        may_be_null=True,
        label="Tightest setting",
        help="Up to here the platform both rises and walks down; none where no setting does both.",
    ),
    Output(
        name="slack",
        kind="numbers",
        unit="°",
        label="Springs hang loose at",
        help="Angles of the curve at which the springs are no longer than free.",
    ),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
    CURVE,
)


def calculate(
    *,
    platform_mass_kg: float,
    platform_centre_m: float,
    platform_length_m: float,
    lip_mass_kg: float,
    lip_stored_x_m: float,
    lip_stored_y_m: float,
    lip_extended_x_m: float,
    lip_extended_y_m: float,
    spring_count: int,
    spring_rate_n_per_m: float,
    initial_tension_n: float,
    free_length_m: float,
    frame_anchor_x_m: float,
    frame_anchor_y_m: float,
    platform_anchor_x_m: float,
    platform_anchor_y_m: float,
    thread_pitch_m: float,
    half_turns: int,
    friction_moment_nm: float,
    angle_low_deg: float,
    angle_high_deg: float,
    walk_down_x_m: float,
    walk_down_limit_n: float,
) -> dict[str, Any]:
    """Work out the moments over the travel, and the settings at which the platform both rises and walks down.

    Args:
        platform_mass_kg: mass of the platform without its lip, kg; 1 to 5000.
        platform_centre_m: its center of mass from the hinge, along it, m; 0 to 6.
        platform_length_m: hinge to the platform's far end, m; 0.2 to 6, not below the two distances along it.
        lip_mass_kg: mass of the lip, kg; 0 to 1000.
        lip_stored_x_m: center of the hanging lip along the platform, m; -8 to 8.
        lip_stored_y_m: the same, square to the platform, upward, m; -8 to 8.
        lip_extended_x_m: center of the lip when out, along the platform, m; -8 to 8.
        lip_extended_y_m: the same, square to the platform, upward, m; -8 to 8.
        spring_count: springs, all alike and set alike, 1; 0 to 12, 0 for none.
        spring_rate_n_per_m: rate of one spring, N/m; 1 to 1e6.
        initial_tension_n: pull at which one spring begins to stretch, N; 0 to 20000.
        free_length_m: distance of the anchors at which it begins to pull, at half turn 0, m; 0.01 to 8.
        frame_anchor_x_m: spring's end on the frame, from the hinge toward the lip, m; -8 to 8.
        frame_anchor_y_m: the same, upward, m; -8 to 8.
        platform_anchor_x_m: spring's end on the platform, in the platform's own axes, m; -8 to 8.
        platform_anchor_y_m: the same, square to the platform, upward, m; -8 to 8.
        thread_pitch_m: pitch of the adjusting thread, m; 0.0002 to 0.02.
        half_turns: half turns made on every spring, tightened above 0, half turn; -100 to 100.
        friction_moment_nm: friction about the hinge, against any motion, N·m; 0 to 10000.
        angle_low_deg: lowest angle of the travel, °; -80 to 80.
        angle_high_deg: highest angle, °; -80 to 80, above angle_low_deg.
        walk_down_x_m: where the person stands, from the hinge along the platform, m; 0.1 to 6.
        walk_down_limit_n: most weight to be used for walking it down, N; 1 to 5000.

    Returns:
        Every name of OUTPUTS: angles in °, moments in N·m, forces in N. stall_angle_deg is None where it
        rises through its travel; half_turns_low and half_turns_high are None where no setting from -100 to
        100, or as far as the free length lasts, both rises and walks down, and a reason says why.

    Raises:
        BadInput: the travel upside down; a distance along the platform beyond its length; an anchor on the
            hinge; anchors that meet within the travel; more half turns than the free length has.

    Example:
        By hand: 100 kg at 0.6 m weigh 588.399 N m about the hinge. Level, one spring lies 0.3 m below the
        hinge, 0.1 m longer than free, so it pulls 200 + 20 000 x 0.1 = 2200 N and lifts with 660 N m.

        >>> answer = calculate(
        ...     platform_mass_kg=100,
        ...     platform_centre_m=0.6,
        ...     platform_length_m=1.2,
        ...     lip_mass_kg=0,
        ...     lip_stored_x_m=0,
        ...     lip_stored_y_m=0,
        ...     lip_extended_x_m=0,
        ...     lip_extended_y_m=0,
        ...     spring_count=1,
        ...     spring_rate_n_per_m=20_000,
        ...     initial_tension_n=200,
        ...     free_length_m=0.3,
        ...     frame_anchor_x_m=0.4,
        ...     frame_anchor_y_m=-0.3,
        ...     platform_anchor_x_m=0,
        ...     platform_anchor_y_m=-0.3,
        ...     thread_pitch_m=0.0025,
        ...     half_turns=0,
        ...     friction_moment_nm=20,
        ...     angle_low_deg=-10,
        ...     angle_high_deg=10,
        ...     walk_down_x_m=1,
        ...     walk_down_limit_n=250,
        ... )
        >>> level = answer["curve"][20]
        >>> level["angle_deg"], f"{level['spring_moment_nm']:.3f}", f"{level['gravity_rising_nm']:.3f}"
        (0.0, '660.000', '-588.399')
        >>> f"{level['net_rising_nm']:.3f}", f"{level['walk_down_force_n']:.3f}"
        ('51.601', '91.601')
    """
    spring = Spring(
        frame_anchor=(frame_anchor_x_m, frame_anchor_y_m),
        count=spring_count,
        platform_anchor=(platform_anchor_x_m, platform_anchor_y_m),
        rate=spring_rate_n_per_m,
        initial_tension=initial_tension_n,
        free_length=free_length_m,
        half_turn_m=thread_pitch_m / 2,
    )
    leveler = Leveler(
        platform_mass=platform_mass_kg,
        platform_center=platform_centre_m,
        lip_mass=lip_mass_kg,
        lip_stored=(lip_stored_x_m, lip_stored_y_m),
        lip_extended=(lip_extended_x_m, lip_extended_y_m),
        spring=spring,
        friction=friction_moment_nm,
        foot_x=walk_down_x_m,
    )
    along = {"platform_centre_m": platform_centre_m, "walk_down_x_m": walk_down_x_m}
    problems = [
        *_beyond(along, platform_length_m),
        *_spring_problems(spring, half_turns),
        *_travel_problems(spring, angle_low_deg, angle_high_deg),
    ]
    if problems:
        raise BadInput(*problems)
    run = travel(leveler, angle_low_deg, angle_high_deg, half_turns)
    return _answer(run, platform_length_m, walk_down_limit_n)


def _answer(run: Travel, platform_length: float, limit: float) -> dict[str, Any]:
    leveler, fine = run.leveler, run.fine
    search = _search(leveler.spring)
    rising = rising_band(leveler, fine, search)
    walking = walking_band(leveler, fine, search, limit)
    both = rising.within(walking)
    peak, peak_angle = run.peak_walk_down()
    change = run.at_setting(run.half_turns + 1).peak_walk_down()[0] - peak
    stall = run.stall_angle()
    stall_words = sentences.Stall(angle=stall, low_angle=fine[0].angle_deg, platform_length=platform_length)
    walk_words = sentences.Walk(peak=peak, angle=peak_angle, limit=limit, within=run.walks_down(limit))
    return {
        "headline": sentences.headline(stall_words, walk_words),
        "rises_through_travel": stall is None,
        "stall_angle_deg": stall,
        "peak_walk_down_force_n": peak,
        "half_turn_force_change_n": change,
        "half_turns_low": None if both.is_empty else both.low,
        "half_turns_high": None if both.is_empty else both.high,
        "slack": run.slack_angles(),
        "reasons": sentences.reasons(run, stall_words, walk_words, (rising, walking, search), change),
        "curve": run.curve(),
    }


def _search(spring: Spring) -> Band:
    """Return the settings to search: 100 half turns in either direction, but never a free length of 0."""
    return Band(low=-FARTHEST, high=min(FARTHEST, _last_half_turn(spring)))


def _last_half_turn(spring: Spring) -> int:
    return math.ceil(spring.free_length / spring.half_turn_m) - 1


def _beyond(along: dict[str, float], length: float) -> list[InputProblem]:
    return [
        InputProblem(name, value, "beyond-platform", {"length_m": length})
        for name, value in along.items()
        if value > length
    ]


def _spring_problems(spring: Spring, half_turns: int) -> list[InputProblem]:
    problems = [
        InputProblem(f"{side}_anchor_x_m", anchor[0], "anchor-on-hinge", {"least_mm": 1000 * LEAST_LENGTH_M})
        for side, anchor in _anchors(spring)
        if math.hypot(*anchor) < LEAST_LENGTH_M
    ]
    last = _last_half_turn(spring)
    if half_turns > last:
        problems.append(InputProblem("half_turns", half_turns, "free-length-used-up", {"last": last}))
    return problems


def _anchors(spring: Spring) -> Sequence[tuple[str, Point]]:
    return ("frame", spring.frame_anchor), ("platform", spring.platform_anchor)


def _travel_problems(spring: Spring, low_deg: float, high_deg: float) -> list[InputProblem]:
    """Return a problem for a travel upside down, or for anchors that meet in it, at dead center."""
    if low_deg >= high_deg:
        return [InputProblem("angle_high_deg", high_deg, "travel-upside-down", {"low": low_deg})]
    nearest = min(max(spring.dead_center_deg(), low_deg), high_deg)
    if any(math.hypot(*anchor) < LEAST_LENGTH_M for _, anchor in _anchors(spring)):
        return []
    if spring.length_at(nearest) >= LEAST_LENGTH_M:
        return []
    values = {"angle_deg": nearest, "least_mm": 1000 * LEAST_LENGTH_M}
    return [InputProblem("platform_anchor_x_m", spring.platform_anchor[0], "anchors-meet", values)]
