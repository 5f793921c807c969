"""Does the rod that stands out beyond the locked jam nut agree with the half turns that were counted?

A half turn moves the nuts along the rod by half the pitch. Tightening draws more rod out of the jam nut:

    e = n p / 2     d = L2 - L1 - e     u = sqrt(2) h     they disagree where |d| > 2.576 u

with n the half turns counted, p the pitch, L1 and L2 the lengths as found and now, and h the standard
uncertainty of one reading. The length tells n half turns from none where n p / 2 > 2.576 u.

Limits: one tool, one place, the jam nut locked at both readings, and a single-start thread. A disagreement is
measured again before it counts, since one reading in a hundred pairs is as far off by chance.

Source: geometry of a single-start thread. 2.576: the normal distribution's quantile at 0.995, for 99 % either
way (NIST/SEMATECH e-Handbook, 1.3.6.7.1, from memory). That the rod is a second witness, and the order to
measure again, then to ask for a half turn not entered, then to stop: company practice, own reasoning.
"""

from __future__ import annotations

import math
from typing import Any

from calculators.shared.fields import Field, Output, rounded
from calculators.shared.half_turns import FARTHEST, sentence
from calculators.shared.statistics import normal_quantile

NAME = "rod-length"
CONFIDENCE = 0.99
VERDICTS = ("go-on", "measure-again", "stop")

INPUTS = (
    Field(
        name="half_turns",
        kind="whole",
        unit="half turn",
        low=-FARTHEST,
        high=FARTHEST,
        label="Half turns counted",
        help="From as found to now; tightened counts up, loosened counts down.",
    ),
    Field(
        name="length_found_m",
        kind="number",
        unit="m",
        low=0,
        high=0.5,
        label="Rod length as found",
        help="From the outer face of the locked jam nut to the end of the rod.",
    ),
    Field(
        name="length_now_m",
        kind="number",
        unit="m",
        low=0,
        high=0.5,
        label="Rod length now",
        help="The same length again, with the same tool, the jam nut locked.",
    ),
    Field(
        name="thread_pitch_m",
        kind="number",
        unit="m",
        low=0.0005,
        high=0.01,
        label="Pitch of the rod's thread",
        help="From thread to thread; from the manual, or measured over ten threads.",
    ),
    Field(
        name="reading_uncertainty_mm",
        kind="number",
        unit="mm",
        low=0.01,
        high=5,
        figure="rod-length-by-rule",
        label="Standard uncertainty of one reading",
        help="By a rule; a caliper reads closer.",
    ),
    Field(
        name="measured_again",
        kind="flag",
        label="Both lengths were measured a second time",
        help="Yes once you have measured again because they did not agree.",
        optional=True,
    ),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(
        name="verdict",
        kind="choice",
        choices=VERDICTS,
        label="Verdict",
        help="Whether the count stands.",
    ),
    Output(
        name="half_turns_by_length",
        kind="number",
        unit="half turn",
        label="Half turns by the rod",
        help="What the rod's change comes to.",
    ),
    Output(name="change_m", kind="number", unit="m", label="Change of the rod", help="Now less as found."),
    Output(
        name="expected_m", kind="number", unit="m", label="Change expected", help="By the half turns counted."
    ),
    Output(
        name="witness_from",
        kind="whole",
        unit="half turn",
        label="The rod is a witness from",
        help="Fewer half turns than this cannot be told from none with this tool.",
    ),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
)


def calculate(
    *,
    half_turns: int,
    length_found_m: float,
    length_now_m: float,
    thread_pitch_m: float,
    reading_uncertainty_mm: float,
    measured_again: bool | None = None,
) -> dict[str, Any]:
    """Hold the rod's change against the count.

    Args:
        half_turns: counted from as found to now, tightened above 0; -100 to 100.
        length_found_m: rod beyond the locked jam nut as found, m; 0 to 0.5.
        length_now_m: the same now, m; 0 to 0.5.
        thread_pitch_m: pitch of the rod, m; 0.0005 to 0.01.
        reading_uncertainty_mm: standard uncertainty of one reading, mm; 0.01 to 5.
        measured_again: whether a disagreement has been measured again; None is no.

    Returns:
        Every name of OUTPUTS; lengths in m, longer above 0.

    Raises:
        Nothing; ranges are held by read_inputs, before this.

    Example:
        Two half turns of a thread of 3 mm are 3 mm. A rule of 0.5 mm tells 1.82 mm, so it is one from 2 on.

        >>> answer = calculate(
        ...     half_turns=2,
        ...     length_found_m=0.041,
        ...     length_now_m=0.044,
        ...     thread_pitch_m=0.003,
        ...     reading_uncertainty_mm=0.5,
        ... )
        >>> answer["verdict"], answer["half_turns_by_length"], answer["witness_from"]
        ('go-on', 2.0, 2)
    """
    step = thread_pitch_m / 2
    change, expected = length_now_m - length_found_m, half_turns * step
    least = normal_quantile((1 + CONFIDENCE) / 2) * math.sqrt(2) * reading_uncertainty_mm / 1000
    witness_from = math.floor(rounded(least / step)) + 1
    case = _case(rounded(abs(change - expected)) > rounded(least), half_turns, witness_from, measured_again)
    by_length = rounded(change / step)
    values = {
        "counted": half_turns,
        "by_length": by_length,
        "change_mm": rounded(1000 * change),
        "expected_mm": rounded(1000 * expected),
        "least_mm": rounded(1000 * least),
        "witness_from": witness_from,
    }
    codes = [f"headline.{case}", "reason.lengths", "reason.tool", *_advice(case, half_turns, by_length)]
    headline, *reasons = (sentence(f"rod-length.{code}", **values) for code in codes)
    return {
        "headline": headline,
        "verdict": _VERDICT[case],
        "half_turns_by_length": by_length,
        "change_m": rounded(change),
        "expected_m": rounded(expected),
        "witness_from": witness_from,
        "reasons": reasons,
    }


_VERDICT = {
    "agree": "go-on",
    "too-few": "go-on",
    "differ": "measure-again",
    "differ-again": "stop",
}


def _case(differ: bool, half_turns: int, witness_from: int, measured_again: bool | None) -> str:
    if differ:
        return "differ-again" if measured_again else "differ"
    return "agree" if abs(half_turns) >= witness_from else "too-few"


def _advice(case: str, half_turns: int, by_length: float) -> list[str]:
    """Name what may explain it: a sign turned round, or a half turn that was not entered."""
    if case not in ("differ", "differ-again"):
        return []
    nearest = round(by_length)
    if half_turns and nearest == -half_turns:
        return ["reason.sign"]
    return ["reason.not-entered"] if abs(nearest - half_turns) <= 2 else ["reason.far-apart"]
