"""A small plan of a visit, written by hand, and a visit worked through the one door."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from calculators.visiting import run
from tests.calculators.asking import WORDS

VISIT = "01939d2c-0000-7000-8000-000000000001"
CYCLE = ("count-out", "pull-the-ring", "watch-the-lip", "walk-it-down", "judge-it")
PLAN_ANSWERS = {
    "tighten": "go-to-the-springs",
    "loosen": "go-to-the-springs",
    "cycle-again": "run-it-again",
    "measure-first": "go-to-the-springs",
    "leave": "end",
    "lip-side": {"go": "clean"},
    "other": "stop",
}


def _steps(*rows: dict[str, Any] | str) -> list[dict[str, Any]]:
    named = [{"id": row} if isinstance(row, str) else row for row in rows]
    return [{"hash": f"{row['id'][:6]:->8}", **row} for row in named]


def small_plan() -> dict[str, Any]:
    """Return a plan with every kind of rule, on invented pages."""
    return {
        "v": 1,
        "sequences": [
            {
                "id": "set",
                "label": "Set it",
                "jobs": [
                    "safe",
                    "as-found",
                    {"mainspring": {"if_sent": True}},
                    "time",
                    {"lip": {"if_sent": True}},
                    "return",
                ],
                "stop": "tag-out",
            },
            {"id": "fault", "label": "It stops short", "jobs": ["path", "return"], "stop": "tag-out"},
        ],
        "jobs": {
            "safe": {"page": "safe.html", "steps": ["look", "sweep", "lock-out", "try-it"]},
            "support": {"page": "support.html", "steps": ["raise", "set-it", "lock-it"]},
            "cycle": {
                "page": "cycle.html",
                "steps": ["take-the-support-out", *CYCLE],
                "at": {"take-the-support-out": {"if_done": ["support"]}},
            },
            "as-found": {
                "page": "cycle.html",
                "steps": [*CYCLE],
                "at": {
                    "judge-it": {
                        "ask": "mainspring-plan",
                        "answers": {
                            "cycle-again": "pull-the-ring",
                            "leave": {"go": "time"},
                            "measure-first": {"go": "mainspring"},
                            "tighten": {"go": "mainspring"},
                            "loosen": {"go": "mainspring"},
                            "lip-side": {"go": "clean"},
                            "other": "stop",
                        },
                    }
                },
            },
            "mainspring": {
                "page": "mainspring.html",
                "spring": "mainspring",
                "steps": [
                    "go-to-the-springs",
                    "measure-the-rod",
                    "count-to-tighten",
                    "count-to-loosen",
                    "find-the-limits",
                    "ask-the-plan",
                    "hold-the-rod",
                    "turn-it",
                    "lock-the-nut",
                    "measure-again",
                    "run-it-again",
                    "back-to-the-plan",
                ],
                "once": [
                    "measure-the-rod",
                    "count-to-tighten",
                    "count-to-loosen",
                    "find-the-limits",
                    "ask-the-plan",
                ],
                "check": "run-it-again",
                "at": {
                    "go-to-the-springs": {"work": "support"},
                    "ask-the-plan": {
                        "ask": "mainspring-plan",
                        "answers": {**PLAN_ANSWERS, "tighten": "hold-the-rod", "loosen": "hold-the-rod"},
                    },
                    "lock-the-nut": {"again": {"": "hold-the-rod"}},
                    "measure-again": {
                        "ask": "rod-length",
                        "answers": {
                            "go-on": "run-it-again",
                            "measure-again": "measure-again",
                            "stop": "stop",
                            "other": "stop",
                        },
                    },
                    "run-it-again": {"work": "cycle"},
                    "back-to-the-plan": {"ask": "mainspring-plan", "answers": PLAN_ANSWERS},
                },
            },
            "time": {
                "page": "time.html",
                "steps": ["warm-up", "raise-it", "lift-it", "let-it-go", "once-more", "read-it", "do-it"],
                "once": ["read-it"],
                "ways": {"lip-by-hand": ["lift-it"]},
                "at": {
                    "warm-up": {"work": "cycle", "enough": 2},
                    "once-more": {"until": 3, "again": {"lip-by-hand": "let-it-go", "": "raise-it"}},
                    "read-it": {
                        "ask": "fold-time",
                        "answers": {
                            "time-again": {"again": "once-more"},
                            "inspect": "stop",
                            "other": "do-it",
                        },
                    },
                    "do-it": {
                        "led_by": "fold-time",
                        "answers": {
                            "add-half-turn": {"go": "lip"},
                            "remove-half-turn": {"go": "lip"},
                            "lip-in": {"go": "lip"},
                            "other": "end",
                        },
                    },
                },
            },
            "time-again": {
                "page": "time.html",
                "steps": ["raise-it", "lift-it", "let-it-go", "once-more", "read-it", "do-it"],
                "once": ["read-it"],
                "ways": {"lip-by-hand": ["lift-it"]},
                "at": {
                    "once-more": {"until": 3, "again": {"lip-by-hand": "let-it-go", "": "raise-it"}},
                    "read-it": {
                        "ask": "turn-plan",
                        "answers": {
                            "time-again": {"again": "once-more"},
                            "tighten": "do-it",
                            "loosen": "do-it",
                            "leave": "do-it",
                            "lip-in": "do-it",
                            "lip-back": "do-it",
                            "measure-first": "do-it",
                            "other": "stop",
                        },
                    },
                },
            },
            "lip": {
                "page": "lip.html",
                "spring": "lip-assist",
                "steps": [
                    "go-to-the-spring",
                    "measure-the-rod",
                    "count-to-tighten",
                    "count-to-loosen",
                    "ask-the-plan",
                    "hold-the-rod",
                    "turn-it",
                    "measure-again",
                    "cycle-it",
                    "time-it",
                    "back-to-the-plan",
                ],
                "once": ["measure-the-rod", "count-to-tighten", "count-to-loosen", "ask-the-plan"],
                "check": "cycle-it",
                "at": {
                    "go-to-the-spring": {"work": "support"},
                    "ask-the-plan": {
                        "ask": "turn-plan",
                        "answers": {
                            "tighten": "hold-the-rod",
                            "loosen": "hold-the-rod",
                            "lip-in": "hold-the-rod",
                            "lip-back": "hold-the-rod",
                            "time-again": "cycle-it",
                            "measure-first": "measure-the-rod",
                            "leave": "end",
                            "other": "stop",
                        },
                    },
                    "cycle-it": {"work": "cycle"},
                    "time-it": {"work": "time-again"},
                    "back-to-the-plan": {
                        "led_by": "turn-plan",
                        "answers": {
                            "tighten": "go-to-the-spring",
                            "loosen": "go-to-the-spring",
                            "measure-first": "go-to-the-spring",
                            "lip-in": "go-to-the-spring",
                            "lip-back": "go-to-the-spring",
                            "time-again": "time-it",
                            "leave": "end",
                            "other": "stop",
                        },
                    },
                },
            },
            "clean": {"page": "clean.html", "steps": ["clean-it"]},
            "return": {
                "page": "return.html",
                "steps": ["try-the-nuts", "last-cycle", "show-the-lead", "locks-off"],
                "at": {"last-cycle": {"work": "cycle"}},
            },
            "tag-out": {"page": "tag-out.html", "steps": ["hang-the-tag", "call"]},
            "path": {
                "page": "path.html",
                "path": "short",
                "ends": {"how/1": "stop", "why/1": {"go": "clean"}, "why/2": {"go": "mainspring"}},
            },
        },
        "pages": {
            "safe.html": {
                "title": "Make it safe",
                "stops": 2,
                "steps": _steps(
                    {"id": "look", "hazards": ["dock-traffic"]},
                    {"id": "sweep", "with": True},
                    {"id": "lock-out", "hazards": ["power-comes-on"], "asks": ["lock-on:power"]},
                    "try-it",
                ),
            },
            "support.html": {
                "title": "Put it on its support",
                "stops": 2,
                "steps": _steps(
                    "raise",
                    {"id": "set-it", "hazards": ["unsupported-leveler"]},
                    {"id": "lock-it", "asks": ["lock-on:support"]},
                ),
            },
            "cycle.html": {
                "title": "Run the cycle",
                "stops": 3,
                "steps": _steps(
                    {
                        "id": "take-the-support-out",
                        "hazards": ["unsupported-leveler"],
                        "asks": ["lock-off:support"],
                    },
                    {"id": "count-out", "hazards": ["people-clear"]},
                    {"id": "pull-the-ring", "hazards": ["platform-slams"], "asks": ["rise"]},
                    {"id": "watch-the-lip", "asks": ["lip"]},
                    {"id": "walk-it-down", "hazards": ["walk-down-slip"]},
                    {"id": "judge-it", "asks": ["walk-down"]},
                ),
            },
            "mainspring.html": {
                "title": "Set the mainspring",
                "stops": 5,
                "steps": _steps(
                    {"id": "go-to-the-springs", "hazards": ["unsupported-leveler"]},
                    {"id": "measure-the-rod", "asks": ["rod-found"]},
                    {"id": "count-to-tighten", "hazards": ["thread-end"], "asks": ["threads-to-tighten"]},
                    {"id": "count-to-loosen", "asks": ["threads-to-loosen"]},
                    {"id": "find-the-limits", "asks": ["limits"]},
                    "ask-the-plan",
                    {"id": "hold-the-rod", "hazards": ["rod-turns"]},
                    {"id": "turn-it", "hazards": ["spring-energy"], "asks": ["half-turn"]},
                    "lock-the-nut",
                    {"id": "measure-again", "asks": ["rod-now"]},
                    "run-it-again",
                    "back-to-the-plan",
                ),
            },
            "time.html": {
                "title": "Time the lip",
                "stops": 3,
                "steps": _steps(
                    {"id": "warm-up", "hazards": ["power-comes-on"]},
                    {"id": "raise-it", "hazards": ["lip-path"]},
                    {"id": "lift-it", "hazards": ["lip-lifted-by-hand"]},
                    {"id": "let-it-go", "asks": ["runs"]},
                    {"id": "once-more", "with": True},
                    {"id": "read-it", "asks": ["temperature"]},
                    "do-it",
                ),
            },
            "lip.html": {
                "title": "Set the lip-assist spring",
                "stops": 4,
                "steps": _steps(
                    {"id": "go-to-the-spring", "hazards": ["unsupported-leveler"]},
                    {"id": "measure-the-rod", "asks": ["rod-found"]},
                    {"id": "count-to-tighten", "hazards": ["thread-end"], "asks": ["threads-to-tighten"]},
                    {"id": "count-to-loosen", "asks": ["threads-to-loosen", "limits"]},
                    "ask-the-plan",
                    {"id": "hold-the-rod", "hazards": ["rod-turns"]},
                    {"id": "turn-it", "hazards": ["spring-energy"], "asks": ["half-turn"]},
                    {"id": "measure-again", "asks": ["rod-now"]},
                    "cycle-it",
                    "time-it",
                    "back-to-the-plan",
                ),
            },
            "clean.html": {"title": "Clean the hinges", "stops": 1, "steps": _steps("clean-it")},
            "return.html": {
                "title": "Return to service",
                "stops": 3,
                "steps": _steps(
                    {"id": "try-the-nuts", "hazards": ["jam-nut-loose"], "asks": ["nuts-tried", "rod-now"]},
                    "last-cycle",
                    {"id": "show-the-lead", "asks": ["lead"]},
                    {"id": "locks-off", "hazards": ["power-comes-on"], "asks": ["lock-off"]},
                ),
            },
            "tag-out.html": {"title": "Tag it out", "stops": 0, "steps": _steps("hang-the-tag", "call")},
            "path.html": {"title": "It stops short", "stops": 0, "steps": []},
        },
        "hazards": {
            "dock-traffic": "WARNING",
            "power-comes-on": "WARNING",
            "unsupported-leveler": "DANGER",
            "people-clear": "DANGER",
            "platform-slams": "CAUTION",
            "walk-down-slip": "CAUTION",
            "thread-end": "NOTICE",
            "rod-turns": "WARNING",
            "spring-energy": "WARNING",
            "lip-path": "DANGER",
            "lip-lifted-by-hand": "WARNING",
            "jam-nut-loose": "CAUTION",
        },
        "paths": {
            "short": {
                "page": "path.html",
                "questions": [
                    {
                        "id": "how",
                        "hazards": ["people-clear"],
                        "answers": [{"end": 1, "stop": True, "hazards": ["lip-path"]}, {"go": "why"}],
                    },
                    {
                        "id": "why",
                        "answers": [{"end": 1, "page": "clean.html"}, {"end": 2, "page": "mainspring.html"}],
                    },
                ],
            }
        },
        "given": {
            "fold-time": GIVEN_TIMING,
            "turn-plan": GIVEN_TIMING,
        },
        "common": {"window_low_s": 18, "window_high_s": 20},
        "levelers": {
            "class-1": {
                "name": "One mainspring",
                "spring_count": 1,
                "ways": ["lip-by-hand"],
                "figures": {"window_low_s": 17, "window_high_s": 19, "thread_pitch_m": 0.003},
            },
            "class-2": {
                "name": "Two mainsprings",
                "spring_count": 2,
                "ways": ["lip-by-hold"],
                "figures": {
                    "window_low_s": 17,
                    "window_high_s": 19,
                    "walk_down_limit_n": 250,
                    "thread_pitch_m": 0.003,
                },
            },
        },
        "figures": {
            "threads-kept": 2,
            "half-turns-per-thread": 2,
            "rod-length-by-rule": 0.5,
            "rod-length-by-caliper": 0.2,
            "hand-timing-uncertainty": 0.2,
            "timing-confidence": 0.95,
            "least-response": 0.5,
        },
        "intervals": {"weekly": {"value": 1, "unit": "week"}, "quarterly": {"value": 3, "unit": "months"}},
        "customers": [],
    }


GIVEN_TIMING = {
    "repeatability": 0.007,
    "repeatability_df": 4,
    "inspect_limit": 0.025,
    "stick_s": 1,
    "free_drop_share": 0.3,
    "cold_below_c": 5,
    "hot_above_c": 35,
    "stopped": "sharp",
    "timing": [
        {"way": "countdown", "bias_s": 0.0, "bias_uncertainty_s": 0.06, "scatter_s": 0.07},
        {"way": "helper", "bias_s": -0.11, "bias_uncertainty_s": 0.06, "scatter_s": 0.07},
        {"way": "by-hand", "bias_s": -0.55, "bias_uncertainty_s": 0.15, "scatter_s": 0.15},
        {"way": "sharp", "bias_s": 0.11, "bias_uncertainty_s": 0.06, "scatter_s": 0.07},
        {"way": "no-longer-moves", "bias_s": 0.3, "bias_uncertainty_s": 0.2, "scatter_s": 0.2},
    ],
}


def call(what: str, request: dict[str, Any]) -> dict[str, Any]:
    """Return what the door says; a fault of ours fails here."""
    text = run(what, json.dumps(request), WORDS)
    assert "The calculator failed" not in text, text
    found: dict[str, Any] = json.loads(text)
    return found


@dataclass
class Visit:
    """A visit in a test: acts go through the door, and what they append is kept as the phone keeps it."""

    plan: dict[str, Any] = field(default_factory=small_plan)
    events: list[dict[str, Any]] = field(default_factory=list)
    screen: dict[str, Any] = field(default_factory=dict)

    def begin(self, sequence: str = "set", leveler_class: str | None = "class-1", **more: Any) -> Visit:
        """Open it."""
        values = {
            "sequence": sequence,
            "customer": "Hallow Mill",
            "door": "3",
            "leveler_class": leveler_class,
            "asked_for": "the lip stays in",
            "technician": "Ana",
        }
        self.append("opened", {**values, **more})
        return self.look()

    def append(self, kind: str, values: dict[str, Any]) -> None:
        """Write an event, as the phone does."""
        seq = len(self.events)
        self.events.append(
            {
                "v": 1,
                "id": f"01939d2c-{seq:04x}-7000-8000-000000000002",
                "visit": VISIT,
                "leveler": "hm-03",
                "kind": kind,
                "values": values,
                "edition": "0a5502b3204c64c6",
                "device": "test",
                "at": f"2026-11-30T{9 + seq // 3600:02d}:{seq // 60 % 60:02d}:{seq % 60:02d}.000+01:00",
                "seq": seq,
            }
        )

    def look(self) -> Visit:
        """Ask for the screen anew."""
        found = call("screen", {"plan": self.plan, "events": self.events})
        assert "screen" in found, found
        self.screen = found["screen"]
        return self

    def errors(self, do: str, **values: Any) -> list[dict[str, Any]]:
        """Return what is wrong with an act; nothing is written."""
        request = {"plan": self.plan, "events": self.events, "act": {"do": do, **values}}
        return list(call("act", request)["errors"])

    def act(self, do: str, **values: Any) -> Visit:
        """Do something on the screen."""
        found = call("act", {"plan": self.plan, "events": self.events, "act": {"do": do, **values}})
        assert "append" in found, found
        for event in found["append"]:
            self.append(event["kind"], event["values"])
        return self.look()

    def done(self, **entries: Any) -> Visit:
        """Tap Done, with what was entered."""
        return self.act("done", entries={key.replace("_", "-"): value for key, value in entries.items()})

    def cycle(self, rise: str, lip: bool, walk_down: str) -> Visit:
        """Work the screens of one operating cycle, from where it stands to behind the walk-down."""
        given = {"rise": rise, "lip": lip, "walk-down": walk_down}
        while True:
            asked = [entry["of"] for entry in self.screen["entries"] if entry["of"] in given]
            self.act("done", entries={key: given[key] for key in asked})
            if "walk-down" in asked:
                return self

    def to(self, step: str) -> Visit:
        """Tap Done until a step is on the screen."""
        for _ in range(50):
            if step in self.screen["steps"]:
                return self
            self.act("answer" if self.screen["kind"] == "answer" else "done")
        raise AssertionError(f"never came to {step}")
