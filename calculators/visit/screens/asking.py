"""The answer at a step that asks a calculator: asked in-process, with what the log holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from calculators import answering
from calculators.shared.half_turns import FARTHEST, sentence
from calculators.shared.hazards import BEFORE_CYCLING, BEFORE_TURNING
from calculators.visit.derived.inputs import inputs, lacking
from calculators.visit.derived.ledger import is_last_cycle_right, is_uneven, nets, order
from calculators.visit.derived.lip_in import ORDERS, OUTCOMES_OF_THE_LIP, outcome_with_lip
from calculators.visit.derived.outcomes import CYCLE, QUIET, SPRING_OF, TURNS, outcome_of
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import Row, State
from calculators.visit.place.places import Place

NOTHING_YET = {
    "mainspring-plan": "cycle-again",
    "turn-plan": "time-again",
    "fold-time": "time-again",
    "rod-length": "go-on",
}
"""The outcome where nothing was seen or timed at the present setting yet."""
TURNED = {outcome: way for way, outcome in TURNS.items()}
WORST = ("stop", "measure-again", "go-on")


@dataclass(frozen=True)
class Answer:
    """What a calculator says now: its outcome, its answer as shown, and what has to be asked before."""

    calculator: str
    outcome: str = ""
    headline: Row = field(default_factory=dict)
    answer: Row | None = None
    inputs: Row | None = None
    question: Row | None = None
    first: tuple[str, ...] = ()
    """Asks without whose entries it cannot be asked."""

    @property
    def spring(self) -> str | None:
        """The spring that it orders half turns of."""
        return SPRING_OF.get(self.calculator)

    @property
    def do_now(self) -> int:
        """The half turn that it orders."""
        if self.calculator not in SPRING_OF:
            return 0
        return ORDERS.get(self.outcome, TURNED.get(self.outcome, 0))

    @property
    def is_quiet(self) -> bool:
        """True where it needs no screen of its own."""
        return (self.calculator, self.outcome) in QUIET


def answer_at(plan: Plan, state: State, place: Place, words: Mapping[str, str]) -> Answer:
    """Return the answer at a place whose stage is `answer`."""
    calculator = str(plan.rule(place.job, place.step)["ask"])
    if calculator == CYCLE:
        outcome = "right" if is_last_cycle_right(state) else "not-right"
        return Answer(calculator, outcome, sentence(f"visit.answer.cycle.{outcome}"))
    first = lacking(plan, state, calculator)
    if first:
        return Answer(calculator, first=tuple(first))
    if calculator == "rod-length":
        return _rods(plan, state, place, words)
    if calculator == "mainspring-plan" and is_uneven(plan, state, "mainspring"):
        return Answer(calculator, "uneven", sentence("visit.answer.uneven"))
    raw = inputs(plan, state, calculator)
    if raw is None:
        outcome = NOTHING_YET[calculator]
        return Answer(calculator, outcome, sentence(f"visit.answer.{outcome}"))
    past = _past_limit(raw)
    if past:
        return Answer(calculator, "cannot-answer", sentence("visit.answer.past-limit", count=past))
    answer = _answered(calculator, raw, words)
    if calculator == "mainspring-plan" and answer.outcome == "measure-first":
        return _more_cycles(raw, words) or answer
    return answer if calculator == "mainspring-plan" else _with_lip(plan, state, answer)


def _past_limit(raw: Row) -> int:
    """Return how many half turns the nut stands past its counted limit, 0 where it does not."""
    rows = raw.get("cycles") or raw.get("readings") or ()
    low, high = raw.get("half_turns_min"), raw.get("half_turns_max")
    settings: list[int] = [row["half_turns"] for row in rows]
    over = [setting - high for setting in settings if high is not None]
    under = [low - setting for setting in settings if low is not None]
    beyond: list[int] = [0, *over, *under]
    return max(beyond)


def _with_lip(plan: Plan, state: State, answer: Answer) -> Answer:
    """Return the answer once the lip itself was looked at."""
    outcome = outcome_with_lip(plan, state, answer.calculator, answer.outcome)
    if outcome == answer.outcome:
        return answer
    own = outcome in OUTCOMES_OF_THE_LIP
    headline = sentence(f"visit.answer.{outcome}" if own else f"turn-plan.headline.{outcome}")
    turns = BEFORE_TURNING if outcome in ORDERS else ()
    moves = BEFORE_CYCLING if outcome in ORDERS else ()
    said = {
        "headline": headline,
        "before_turning": turns,
        "before_cycling": moves,
        "reasons": (answer.answer or {}).get("reasons", []),
    }
    return replace(answer, outcome=outcome, headline=headline, answer={**(answer.answer or {}), **said})


def _more_cycles(raw: Row, words: Mapping[str, str]) -> Answer | None:
    """Return the answer that asks for another cycle, where that comes before measuring at the springs."""
    known = {**raw, "half_turns_min": -FARTHEST, "half_turns_max": FARTHEST}
    answer = _answered("mainspring-plan", known, words)
    return replace(answer, inputs=None) if answer.outcome == "cycle-again" else None


def _answered(calculator: str, raw: Row, words: Mapping[str, str]) -> Answer:
    found = answering.answer(calculator, raw, words)
    if "errors" in found:
        said = "; ".join(error["message"] for error in found["errors"])
        return Answer(
            calculator, "cannot-answer", sentence("visit.answer.cannot-answer", why=said), found, raw
        )
    question = found.get("question")
    outcome = "" if question else outcome_of(calculator, found)
    headline = sentence(found["headline"]["code"], **found["headline"]["values"])
    return Answer(calculator, outcome, headline, found, raw, question)


def _rods(plan: Plan, state: State, place: Place, words: Mapping[str, str]) -> Answer:
    """Hold every rod of the job's spring against the count; the worst of the answers is the answer."""
    spring = plan.jobs_spring(place.job) or "mainspring"
    found: list[Answer] = []
    for which in range(1, len(nets(plan, state, spring)) + 1):
        raw = inputs(plan, state, "rod-length", which, spring)
        if raw is not None:
            found.append(_answered("rod-length", raw, words))
    if not found:
        return Answer("rod-length", "go-on", sentence("visit.answer.go-on"))
    return min(found, key=lambda each: WORST.index(each.outcome) if each.outcome in WORST else -1)


def orders(plan: Plan, state: State, place: Place) -> Row | None:
    """Return the half turn that stands ordered for the job of a place."""
    return order(plan, state, plan.jobs_spring(place.job))
