"""How stiff is a spring, how hard does it pull when stretched, and what does a half turn of its nut add?

From dimensions, with wire diameter d, mean coil diameter D = outside diameter - d, N active coils, and the
wire's shear modulus G; or, from two measured points, the slope between them:

    k = G d^4 / (8 D^3 N)                   or  k = (F2 - F1) / (L2 - L1)
    F = F0 + k y                            F0 initial tension, y extension
    C = D/d     K = (4 C - 1)/(4 C - 4) + 0.615/C     stress = K 8 F D / (pi d^3)
    half turn: y = p/2, F = k p/2           p pitch of a single-start thread

Limits: round wire, close to straight coils, no yielding. The stress is that of the coils; hooks, where an
extension spring is weakest, are not worked out. Sources differ in G by several percent, and 1 % in d is 4 %
in k. A spring that has rusted, stretched or cracked has another rate than its dimensions give. Says nothing
about which spring a leveler needs: a replacement is its maker's choice.

Source: rate, Wahl factor and stress as in the companion code of a textbook on machine design (example 10.1,
FOSSEE, Scilab Textbook Companion 764, read). Initial tension, and the usual spring index of 4 to 12: J. E.
Shigley, Mechanical Engineering Design, from memory. That hooks are weakest: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.shared.fields import BadInput, InputProblem, rounded
from calculators.shared.half_turns import sentence
from calculators.spring_rate.coil import Coil
from calculators.spring_rate.fields import DIMENSIONS, INPUTS, OUTPUTS, STRETCH

NAME = "spring-rate"
__all__ = ["INPUTS", "NAME", "OUTPUTS", "calculate"]

LEAST_INDEX = 2.0
"""No wire can be coiled with a lower index, so one of the two diameters is wrong."""
USUAL_INDEX = (4.0, 12.0)
LEAST_APART_M = 0.001
"""The slope between two lengths closer than this, m, is mostly reading error."""

Points = Sequence[Mapping[str, float]]


def calculate(
    *,
    wire_diameter_m: float | None = None,
    outside_diameter_m: float | None = None,
    active_coils: float | None = None,
    shear_modulus_pa: float | None = None,
    initial_tension_n: float | None = None,
    extension_m: float | None = None,
    thread_pitch_m: float | None = None,
    points: Points | None = None,
) -> dict[str, Any]:
    """Work out a spring's rate, and from it a pull, a stress and what a half turn does, as far as given.

    Args:
        wire_diameter_m: d, m; 0.0002 to 0.05; all four dimensions or none.
        outside_diameter_m: over the coils, m; 0.001 to 1, at least 3 d.
        active_coils: N, 1; 1 to 1000.
        shear_modulus_pa: G, Pa; 1e10 to 2e11.
        initial_tension_n: F0, N; 0 to 20000; with extension_m, or neither.
        extension_m: y, m; above 0, to 4.
        thread_pitch_m: p, m; 0.0002 to 0.02, or None.
        points: 0 to 2 rows of length_m (m; 0.01 to 8, at least 0.001 apart) and force_n (N; above 0, to
            100000), the longer one pulling harder; both rows in place of the dimensions.

    Returns:
        Every name of OUTPUTS: rate in N/m, lengths in m, forces in N, stress in Pa; None where what it needs
        was not given.

    Raises:
        BadInput: neither dimensions nor points, or both; a group half given; a coil too narrow for its wire;
            points too close together, or pulling less where longer.

    Example:
        The textbook's example 10.1: d = 7, D = 42 mm, 8 coils, G = 81 370 N/mm2, under 1250 N. It prints a
        free length that holds the deflection 30.337611 mm.

        >>> answer = calculate(
        ...     wire_diameter_m=0.007,
        ...     outside_diameter_m=0.049,
        ...     active_coils=8,
        ...     shear_modulus_pa=81_370e6,
        ...     initial_tension_n=0,
        ...     extension_m=0.030337611,
        ... )
        >>> f"{answer['rate_n_per_m']:.3f}", f"{answer['wahl_factor']:.4f}", f"{answer['force_n']:.4f}"
        ('41202.980', '1.2525', '1250.0000')
    """
    dimensions = dict(
        zip(DIMENSIONS, (wire_diameter_m, outside_diameter_m, active_coils, shear_modulus_pa), strict=True)
    )
    stretch = dict(zip(STRETCH, (initial_tension_n, extension_m), strict=True))
    rows = tuple(points or ())
    problems = [*_rate_problems(dimensions, rows), *_half_given(stretch, "spring-stretch-half-given")]
    if problems:
        raise BadInput(*problems)
    coil = None if rows else Coil(*(value for value in dimensions.values() if value is not None))
    rate = coil.rate if coil else _slope(rows)
    force = None
    if initial_tension_n is not None and extension_m is not None:
        force = initial_tension_n + rate * extension_m
    half_turn = None if thread_pitch_m is None else thread_pitch_m / 2
    found = {
        "rate_n_per_m": rate,
        "force_n": force,
        "half_turn_extension_m": half_turn,
        "half_turn_force_n": None if half_turn is None else rate * half_turn,
        "mean_diameter_m": coil.mean_diameter if coil else None,
        "spring_index": coil.index if coil else None,
        "wahl_factor": coil.wahl_factor if coil else None,
        "shear_stress_pa": coil.shear_stress(force) if coil and force is not None else None,
    }
    return {
        "headline": sentence("spring-rate.headline.rate", rate_n_per_mm=rate / 1000),
        **found,
        "reasons": _reasons(found, rows, extension_m),
    }


def _slope(rows: Points) -> float:
    first, second = rows
    return (second["force_n"] - first["force_n"]) / (second["length_m"] - first["length_m"])


def _rate_problems(dimensions: Mapping[str, float | None], rows: Points) -> list[InputProblem]:
    """Return what keeps the rate from being worked out one way, and one way only."""
    some = any(value is not None for value in dimensions.values())
    if some and rows:
        return [InputProblem("points", len(rows), "spring-two-ways")]
    if rows:
        return _point_problems(rows)
    if not some:
        return [InputProblem(DIMENSIONS[0], None, "spring-nothing-given")]
    return _half_given(dimensions, "spring-dimensions-half-given") or _coil_problems(dimensions)


def _half_given(group: Mapping[str, float | None], code: str) -> list[InputProblem]:
    """Return a problem for each blank of a group that is filled in elsewhere."""
    blank = [name for name, value in group.items() if value is None]
    return [] if len(blank) == len(group) else [InputProblem(name, None, code) for name in blank]


def _coil_problems(dimensions: Mapping[str, float | None]) -> list[InputProblem]:
    coil = Coil(*(value for value in dimensions.values() if value is not None))
    least = rounded(coil.wire * (LEAST_INDEX + 1))
    if rounded(coil.outside) >= least:  # 3 x 1.1 mm is a hair above 3.3 mm in binary
        return []
    values = {"outside_mm": 1000 * coil.outside, "least_mm": 1000 * least, "wire_mm": 1000 * coil.wire}
    return [InputProblem(DIMENSIONS[1], coil.outside, "coil-too-narrow", values)]


def _point_problems(rows: Points) -> list[InputProblem]:
    if len(rows) == 1:
        return [InputProblem("points", 1, "spring-one-point")]
    apart = rows[1]["length_m"] - rows[0]["length_m"]
    if abs(apart) < LEAST_APART_M:
        values = {"apart_mm": 1000 * abs(apart), "least_mm": 1000 * LEAST_APART_M}
        return [InputProblem("points[1].length_m", rows[1]["length_m"], "points-too-close", values)]
    if _slope(rows) <= 0:
        return [InputProblem("points[1].force_n", rows[1]["force_n"], "points-pull-less-where-longer")]
    return []


def _reasons(found: Mapping[str, Any], rows: Points, extension_m: float | None) -> list[dict[str, Any]]:
    """Say what the rate rests on, what follows from it, and what this does not decide."""
    reasons = [_points_reason(rows)] if rows else _coil_reasons(found)
    if extension_m is not None:
        reasons.append(
            sentence("spring-rate.reason.pull", force_n=found["force_n"], extension_mm=1000 * extension_m)
        )
    if found["shear_stress_pa"] is not None:
        reasons.append(sentence("spring-rate.reason.stress", stress_mpa=found["shear_stress_pa"] / 1e6))
    if found["half_turn_force_n"] is not None:
        reasons.append(
            sentence(
                "spring-rate.reason.half-turn",
                half_turn_force_n=found["half_turn_force_n"],
                half_turn_mm=1000 * found["half_turn_extension_m"],
            )
        )
    return [*reasons, sentence("spring-rate.reason.measuring"), sentence("spring-rate.reason.replacement")]


def _points_reason(rows: Points) -> dict[str, Any]:
    """Say the measured rise of pull over the measured length; whichever point came first."""
    first, second = sorted(rows, key=lambda row: row["length_m"])
    return sentence(
        "spring-rate.reason.points",
        force_change_n=second["force_n"] - first["force_n"],
        length_change_mm=1000 * (second["length_m"] - first["length_m"]),
    )


def _coil_reasons(found: Mapping[str, Any]) -> list[dict[str, Any]]:
    index = found["spring_index"]
    values = {"index": index, "mean_diameter_mm": 1000 * found["mean_diameter_m"]}
    reasons = [sentence("spring-rate.reason.dimensions", **values)]
    if not USUAL_INDEX[0] <= index <= USUAL_INDEX[1]:
        reasons.append(
            sentence("spring-rate.reason.unusual-index", low=USUAL_INDEX[0], high=USUAL_INDEX[1], **values)
        )
    return reasons
