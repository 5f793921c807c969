"""Are the mainsprings to be turned half a turn now, which way, and what do the cycles so far show?

No formula: observed cycles are sorted into too low, good and too high, and a tighter setting must never act
weaker than a looser one.

    too low     rises short; or rises fully and the lip is not fully out
    too high    rises with a slam; or rises gently, lip out, and cannot be walked down within the limit
    good        rises gently, lip out, walk-down easy, or firm within the limit

Rising short and yet not to be walked down is no setting fault. A lip that stays in when the walk-down is
firm or worse, when the platform slams, or when two half turns changed nothing, is the lip's own fault. What a
setting shows is what more than half of its cycles say, two at least, of six at most: nobody who watches is
always right. These stops need two of the latest three cycles at a setting.

Limits: it takes the observations as they are given, and every mainspring as turned alike. It knows nothing of
wear, of the lip-assist spring, or of a load on the platform.

Source: the order (mainspring before lip-assist spring), the half-turn steps and what the signs mean: common
practice, no source. Six cycles, the majority, two of three, and what is not listed above: our own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calculators.mainspring_plan.rules import STOPS, Cycle, Watch, decide, known_band
from calculators.shared.fields import BadInput, Field, InputProblem, Output
from calculators.shared.half_turns import HALF_TURNS, LIMITS, decision_outputs, outside_limits

NAME = "mainspring-plan"
RISES = ("short", "full-gentle", "full-slams")
WALK_DOWNS = ("easy", "firm", "cannot")

INPUTS = (
    Field(
        name="cycles",
        kind="rows",
        least=1,
        most=100,
        label="Cycles so far",
        help="One row a cycle, in the order run; every mainspring stands at the last row's setting.",
        fields=(
            HALF_TURNS,
            Field(
                name="rise",
                kind="choice",
                choices=RISES,
                label="How it rose",
                help="Short of full height, gently to full height, or to full height with a slam.",
            ),
            Field(
                name="lip_extended",
                kind="flag",
                label="Lip fully out",
                help="Yes where the lip came out fully at the top.",
            ),
            Field(
                name="walk_down",
                kind="choice",
                choices=WALK_DOWNS,
                label="Walk-down",
                help="Easy; firm, with your full weight; or it cannot be walked down.",
            ),
            Field(
                name="walk_down_effort_n",
                kind="number",
                unit="N",
                low=0,
                high=5000,
                may_be_null=True,
                optional=True,
                label="Walk-down effort",
                help="By force gauge, where the owner's manual gives a limit; else empty.",
            ),
        ),
    ),
    Field(
        name="walk_down_limit_n",
        kind="number",
        unit="N",
        low=0,
        low_open=True,
        high=5000,
        may_be_null=True,
        optional=True,
        label="Walk-down limit",
        help="The most effort that the owner's manual allows; needed where an effort is given.",
    ),
    *LIMITS,
    Field(
        name="spring_count",
        kind="whole",
        unit="1",
        low=1,
        high=12,
        label="Mainsprings",
        help="How many mainsprings this leveler has; all get the same half turn.",
    ),
)

OUTPUTS = (
    *decision_outputs(STOPS),
    Output(
        name="known_band",
        kind="rows",
        label="What the settings showed",
        help="Settings by what most cycles at each showed.",
        fields=(
            Output(
                name="shows",
                kind="choice",
                choices=("too-low", "good", "too-high"),
                label="Shown to be",
                help="Too low, good or too high.",
            ),
            Output(
                name="half_turns",
                kind="numbers",
                unit="half turn",
                label="Half turns from as found",
                help="The settings, in order; empty where there is none.",
            ),
        ),
    ),
    Output(
        name="per_spring",
        kind="rows",
        label="For each mainspring",
        help="The same half turn on every one.",
        fields=(
            Output(name="spring", kind="whole", unit="1", label="Mainspring", help="Counted from 1."),
            Output(
                name="half_turns",
                kind="whole",
                unit="half turn",
                label="Half turn to make now",
                help="+1 tightens, -1 loosens, 0 turns nothing.",
            ),
        ),
    ),
)


def calculate(
    *,
    cycles: Sequence[Mapping[str, Any]],
    half_turns_min: int | None,
    half_turns_max: int | None,
    spring_count: int,
    walk_down_limit_n: float | None = None,
) -> dict[str, Any]:
    """Plan the next half turn of the mainsprings.

    Args:
        cycles: 1 to 100 rows of half_turns (from as found, on every spring, -100 to 100), rise (short,
            full-gentle or full-slams), lip_extended (true or false), walk_down (easy, firm or cannot) and
            walk_down_effort_n (N; 0 to 5000 or None); the springs stand at the last row's setting.
        half_turns_min: loosest setting allowed, half turns; -100 to 0, None where not measured.
        half_turns_max: tightest setting allowed, half turns; 0 to 100, None where not measured.
        spring_count: mainsprings, 1; 1 to 12.
        walk_down_limit_n: the most effort allowed, N; above 0, to 5000, None where no effort is given.

    Returns:
        Every name of OUTPUTS. Settings and turns in half turns; known_band has three rows, too-low, good and
        too-high.

    Raises:
        BadInput: a cycle outside the limits, or an effort without a limit. Ranges are read_inputs's work.

    Example:
        Common practice: rising short twice asks for half a turn more on every spring.

        >>> short = {"half_turns": 0, "rise": "short", "lip_extended": False, "walk_down": "easy"}
        >>> answer = calculate(cycles=[short, short], half_turns_min=-2, half_turns_max=4, spring_count=2)
        >>> answer["do_now"], [spring["half_turns"] for spring in answer["per_spring"]]
        (1, [1, 1])
    """
    settings = [row["half_turns"] for row in cycles]
    problems = outside_limits(settings, "cycles", half_turns_min, half_turns_max)
    if walk_down_limit_n is None and any(row.get("walk_down_effort_n") is not None for row in cycles):
        problems.append(InputProblem("walk_down_limit_n", None, "limit-needed"))
    if problems:
        raise BadInput(*problems)
    watch = Watch(
        cycles=[observed(row, walk_down_limit_n) for row in cycles],
        half_turns_min=half_turns_min,
        half_turns_max=half_turns_max,
        spring_count=spring_count,
    )
    decision = decide(watch)
    return {
        **decision.outputs(),
        "known_band": known_band(watch),
        "per_spring": [{"spring": i + 1, "half_turns": decision.do_now} for i in range(spring_count)],
    }


def observed(row: Mapping[str, Any], walk_down_limit_n: float | None) -> Cycle:
    """Return what one row of the input tells, held against the effort allowed, N."""
    effort = row.get("walk_down_effort_n")
    over = effort is not None and walk_down_limit_n is not None and effort > walk_down_limit_n
    return Cycle(
        half_turns=row["half_turns"],
        rise=row["rise"],
        lip_extended=row["lip_extended"],
        walk_down=row["walk_down"],
        too_hard=over or row["walk_down"] == "cannot",
    )
