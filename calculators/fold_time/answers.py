"""What a person was asked about a run, and answered. A slip is asked for before a door is closed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calculators.shared.fields import Field, Output

CHOICES = {
    "ten-fold": ("mistyped", "as-read"),
    "far-off": ("mistyped", "as-read"),
    "odd-run": ("mistimed", "touched", "do-not-know"),
    "odd-run-or-turn": ("mistimed", "touched", "turned", "do-not-know"),
    "turn": ("turned", "not-turned"),
    "sign": ("other-way", "as-entered"),
}
"""Each question with what can be answered. mistyped, turned and other-way mean: the sheet is put right, and
the question falls away of itself; the other answers are kept and given with it."""
STRIKES = ("mistimed", "touched")
"""Answers that take a run out of the mean: the reason is known. Its value alone never does."""

ANSWERS = Field(
    name="answers",
    kind="rows",
    least=0,
    most=40,
    optional=True,
    given="answers",
    label="Answers",
    help="What was answered to questions about this sheet.",
    fields=(
        Field(name="question", kind="choice", choices=tuple(CHOICES), label="Question", help="Its code."),
        Field(
            name="field",
            kind="text",
            least=0,
            most=60,
            label="About",
            help="The place asked about, such as runs_s[2]; blank for the whole sheet.",
        ),
        Field(
            name="answer",
            kind="choice",
            label="Answer",
            help="One of the question's choices.",
            choices=tuple(dict.fromkeys(each for choices in CHOICES.values() for each in choices)),
        ),
    ),
)
QUESTION = Output(
    name="question",
    kind="question",
    may_be_null=True,
    label="To answer first",
    help="A question about what was entered; nothing is turned while it stands.",
)


@dataclass(frozen=True, slots=True)
class Answers:
    """Answers by question and place."""

    given: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def to(self, question: str, place: str) -> str | None:
        """Return the answer to a question about a place; None where there is none."""
        return self.given.get((question, place))

    def odd(self, place: str) -> str | None:
        """Return what was answered about an odd run, in whichever of the two ways it was asked."""
        return self.to("odd-run", place) or self.to("odd-run-or-turn", place)


def read_answers(rows: Iterable[Mapping[str, Any]] | None) -> Answers:
    """Return the answers of a sheet; of two to the same question the later counts."""
    return Answers({(row["question"], row["field"]): row["answer"] for row in rows or ()})


def question(code: str, place: str, **values: object) -> dict[str, Any]:
    """Return a question as data: its code and what it names, the choices, and the place it is about."""
    return {"code": f"question.{code}", "values": values, "choices": list(CHOICES[code]), "field": place}


def struck(answers: Answers, places: Sequence[str]) -> list[int]:
    """Return the numbers of the runs that an answer takes out of the mean."""
    return [i for i, place in enumerate(places) if answers.odd(place) in STRIKES]
