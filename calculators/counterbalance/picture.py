"""The picture of counterbalance: net moment against angle, while it rises and while it is walked down."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from calculators.drawing.axes import (
    LegendEntry,
    area_entry,
    below_x_axis,
    left_margin,
    legend,
    line_entry,
    mark_entry,
    x_axis,
    y_axis,
)
from calculators.drawing.plot_words import PlotWords
from calculators.drawing.scale import Scale, padded, spread, ticks
from calculators.drawing.svg import WIDTH, area, line, mark, svg
from calculators.shared.decimal_text import fixed
from calculators.shared.fields import rounded

TOP, BOTTOM = 30, 230
RIGHT = WIDTH - 12
PREFIXES = ((1e6, "M"), (1e3, "k"), (1.0, ""))
"""SI prefixes; a larger unit is used from ten of it on."""
MOMENT = "N·m"
LEAST_STEP_DEG = 0.001  # a narrower travel has no room for its decimals under the axis
LEAST_SPAN_NM = 10.0

Curve = Sequence[Mapping[str, float]]


def draw(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> tuple[str, str]:
    """Return the picture as SVG, and its text alternative; inputs and answer are as on the wire."""
    curve: Curve = answer["curve"]
    limits = [_limit(row["angle_deg"], inputs) for row in curve]
    low, high = _moments(curve, limits)
    unit, name = _unit(max(-low, high), words)
    along = ticks(low / unit, high / unit, 7, words.decimal_mark)
    in_unit = Scale(low / unit, high / unit, BOTTOM, TOP)
    up = Scale(low, high, BOTTOM, TOP)
    left = left_margin([tick.text for tick in along])
    across = Scale(inputs["angle_low_deg"], inputs["angle_high_deg"], left, RIGHT)
    angles = ticks(across.low, across.high, 7, words.decimal_mark, least_step=LEAST_STEP_DEG)
    parts = [
        *_walking_band(curve, limits, up, across),
        line([(across.start, up.at(0)), (across.end, up.at(0))], "zero"),
        *_curves(curve, up, across),
        *_marks(answer, up, across),
        *x_axis(across, angles, BOTTOM, words.say("degrees")),
        *y_axis(in_unit, along, across.start, words.say("moment", unit=name)),
    ]
    entries, height = legend(_legend_entries(inputs, answer, words), below_x_axis(BOTTOM))
    alternative = _alternative(inputs, answer, words)
    return svg(height, [*parts, *entries], alternative), alternative


def _limit(angle_deg: float, inputs: Mapping[str, Any]) -> float:
    """Return the net moment, N m, that the allowed force of a person just overcomes at an angle."""
    arm = inputs["walk_down_x_m"] * math.cos(math.radians(angle_deg))
    # rounded: a cosine may differ in its last digit between machines
    return rounded(inputs["walk_down_limit_n"] * arm)


def _moments(curve: Curve, limits: Sequence[float]) -> tuple[float, float]:
    values = [row[name] for row in curve for name in ("net_rising_nm", "net_walking_nm")]
    return padded(*spread([0.0, *values, *limits]), 0.06, LEAST_SPAN_NM)


def _unit(most: float, words: PlotWords) -> tuple[float, str]:
    """Return (size in N m, name) of a unit in which moments up to `most`, N m, are short to write."""
    name, size = words.units.get(MOMENT, (MOMENT, 1.0))
    times, prefix = next(each for each in PREFIXES if most >= 10 * each[0] * size or each[0] == 1)
    if name != MOMENT and prefix:
        return times * size, f"{fixed(times, 0)} {name}"  # only SI units have prefixes
    return times * size, prefix + name


def _walking_band(curve: Curve, limits: Sequence[float], up: Scale, across: Scale) -> list[str]:
    """Return the area from 0 to the limit, in which it stays up by itself and the allowed force is enough."""
    top = [(across.at(row["angle_deg"]), up.at(limit)) for row, limit in zip(curve, limits, strict=True)]
    foot = [(across.end, up.at(0)), (across.start, up.at(0))]
    return [area([*top, *foot], "window"), line(top, "limit")]


def _curves(curve: Curve, up: Scale, across: Scale) -> list[str]:
    looks = {"net_rising_nm": "line", "net_walking_nm": "line-second"}
    return [
        line([(across.at(row["angle_deg"]), up.at(row[name])) for row in curve], look)
        for name, look in looks.items()
    ]


def _marks(answer: Mapping[str, Any], up: Scale, across: Scale) -> list[str]:
    """Return marks where it stalls, on the zero line, and where the springs are slack, at the bottom."""
    parts = [
        line([(across.held(low), BOTTOM - 5), (across.held(high), BOTTOM - 5)], "loose")
        for low, high in _loose(answer)
    ]
    if answer["stall_angle_deg"] is not None:
        x = across.at(answer["stall_angle_deg"])
        parts += [line([(x, TOP), (x, BOTTOM)], "edge"), mark("diamond", (x, up.at(0)), 7, "stall")]
    return parts


def _loose(answer: Mapping[str, Any]) -> list[tuple[float, float]]:
    """Return the ranges of angles at which the springs are slack, each widened by half a row's spacing."""
    angles, loose = [row["angle_deg"] for row in answer["curve"]], set(answer["slack"])
    reach = (angles[-1] - angles[0]) / len(angles) / 2
    stretches: list[tuple[float, float]] = []
    for before, angle in zip([None, *angles], angles, strict=False):
        if angle not in loose:
            continue
        began = stretches.pop()[0] if before in loose else angle - reach
        stretches.append((began, angle + reach))
    return stretches


def _legend_entries(
    inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords
) -> list[LegendEntry]:
    entries = [
        line_entry("line", words.say("rising")),
        line_entry("line-second", words.say("walking")),
        area_entry("window", "limit", words.say("band", limit_n=inputs["walk_down_limit_n"])),
    ]
    if answer["stall_angle_deg"] is not None:
        entries.append(mark_entry("diamond", 7, "stall", _stall(inputs, answer, words, "stall")))
    if answer["slack"]:
        entries.append(line_entry("loose", words.say("slack")))
    return entries


def _stall(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords, code: str) -> str:
    """Return the sentence on where it stalls; one that stalls at its lowest angle does not rise at all."""
    angle = answer["stall_angle_deg"]
    return words.say(f"{code}-lowest" if angle == inputs["angle_low_deg"] else code, angle_deg=angle)


def _alternative(inputs: Mapping[str, Any], answer: Mapping[str, Any], words: PlotWords) -> str:
    curve: Curve = answer["curve"]
    sentences = [words.say("told-travel", low_deg=inputs["angle_low_deg"], high_deg=inputs["angle_high_deg"])]
    for name in ("rising", "walking"):
        moments = [row[f"net_{name}_nm"] for row in curve]
        least, most = spread(moments)
        sentences.append(
            words.say(f"told-{name}", first_nm=moments[0], last_nm=moments[-1], least_nm=least, most_nm=most)
        )
    if answer["stall_angle_deg"] is None:
        sentences.append(words.say("told-rises"))
    else:
        sentences.append(_stall(inputs, answer, words, "told-stall"))
    sentences.append(
        words.say("told-band", limit_n=inputs["walk_down_limit_n"], peak_n=answer["peak_walk_down_force_n"])
    )
    if answer["slack"]:
        sentences.append(words.say("told-slack", first_deg=answer["slack"][0], last_deg=answer["slack"][-1]))
    return " ".join(sentences)
