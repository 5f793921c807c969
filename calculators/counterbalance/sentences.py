"""The sentences of counterbalance, as data: one headline, then the reasons."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from calculators.counterbalance.half_turn_band import Band
from calculators.counterbalance.travel import Travel
from calculators.shared.half_turns import sentence

Sentence = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stall:
    """Where it stalls while rising, degrees (None where it does not), and the platform's length, m."""

    angle: float | None
    low_angle: float
    platform_length: float

    @property
    def code(self) -> str:
        """How far it rises: "rises", "stalls" or "stays"."""
        if self.angle is None:
            return "rises"
        return "stays" if self.angle == self.low_angle else "stalls"

    @property
    def reason(self) -> str:
        """The same, and for a stall on which side of level it is."""
        if self.angle is None or self.code == "stays":
            return self.code
        return "stalls-above-level" if self.angle > 0 else "stalls-below-level"

    def values(self) -> dict[str, float]:
        """Return the angle, degrees, and how far the platform's far end is from level there, cm."""
        angle = self.low_angle if self.angle is None else self.angle
        end_cm = 100 * self.platform_length * math.sin(math.radians(abs(angle)))
        return {"stall_angle_deg": angle, "end_cm": end_cm}


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """The greatest force of walking down, N, its angle, degrees, and whether it is within the limit, N."""

    peak: float
    angle: float
    limit: float
    within: bool

    @property
    def code(self) -> str:
        """How it comes down: by itself, within the limit, or not."""
        if self.peak == 0:
            return "alone"
        return "easy" if self.within else "hard"

    def values(self) -> dict[str, float]:
        """Return the values that the sentences name."""
        return {"peak_n": self.peak, "peak_angle_deg": self.angle, "limit_n": self.limit}


def headline(stall: Stall, walk: Walk) -> Sentence:
    """Return the answer in one sentence: how far it rises, and how it comes down."""
    return sentence(f"counterbalance.headline.{stall.code}-{walk.code}", **stall.values(), **walk.values())


def reasons(
    travel: Travel, stall: Stall, walk: Walk, bands: tuple[Band, Band, Band], change_n: float
) -> list[Sentence]:
    """Return the reasons: rising, walking down, slack or contrary springs, the settings, and a half turn."""
    least, least_angle = travel.least_lift()
    lift = {"least_nm": least, "least_angle_deg": least_angle, **stall.values()}
    return [
        sentence(f"counterbalance.reason.{stall.reason}", **lift),
        sentence(f"counterbalance.reason.{walk.code}", **walk.values()),
        *_angles("slack", travel.slack_angles()),
        *_angles("pulls-down", travel.pulls_down_angles()),
        _band(*bands),
        _half_turn(travel, change_n),
        sentence("counterbalance.reason.no-order"),
    ]


def _angles(code: str, angles: list[float]) -> list[Sentence]:
    if not angles:
        return []
    return [sentence(f"counterbalance.reason.{code}", first_deg=angles[0], last_deg=angles[-1])]


def _band(rising: Band, walking: Band, search: Band) -> Sentence:
    """Return the sentence on the settings that do both, or on why there are none."""
    looked = {"search_low": search.low, "search_high": search.high}
    if rising.is_empty or walking.is_empty:
        codes = {(True, False): "never-rises", (False, True): "never-walks", (True, True): "never-either"}
        code = codes[rising.is_empty, walking.is_empty]
        return sentence(f"counterbalance.reason.{code}", **looked)
    both = rising.within(walking)
    if both.is_empty:
        return sentence(
            "counterbalance.reason.never-both",
            rise_low=rising.low,
            rise_high=rising.high,
            walk_low=walking.low,
            walk_high=walking.high,
            **looked,
        )
    return sentence("counterbalance.reason.band", low=both.low, high=both.high, **looked)


def _half_turn(travel: Travel, change_n: float) -> Sentence:
    spring = travel.leveler.spring
    if not spring.count:
        return sentence("counterbalance.reason.no-springs")
    return sentence(
        "counterbalance.reason.half-turn", change_n=change_n, spring_change_n=spring.rate * spring.half_turn_m
    )
