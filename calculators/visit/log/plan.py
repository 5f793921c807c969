"""The compiled plan of jobs, as the book wrote it, and short ways to look things up in it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any


@dataclass(frozen=True)
class Plan:
    """visit_plan.json, parsed. What is false or empty is left out in it."""

    raw: Mapping[str, Any]

    def job(self, name: str | None) -> Mapping[str, Any] | None:
        """Return a job, None where this edition has none of that name."""
        found: Mapping[str, Any] | None = self.raw.get("jobs", {}).get(name)
        return found

    def order(self, job: str) -> list[str]:
        """Return the ids of a job's steps, in order."""
        return list((self.job(job) or {}).get("steps", ()))

    def rule(self, job: str, step: str | None) -> Mapping[str, Any]:
        """Return what is written of a step in a job's `at`; empty where nothing is."""
        return (self.job(job) or {}).get("at", {}).get(step, {}) if step else {}

    def jobs_spring(self, job: str) -> str | None:
        """Return the spring that a job sets, None for none."""
        found: str | None = (self.job(job) or {}).get("spring")
        return found

    def page(self, job: str) -> str:
        """Return the address of the page that a job works."""
        return str((self.job(job) or {}).get("page", ""))

    @cached_property
    def _steps(self) -> Mapping[str, Mapping[str, Mapping[str, Any]]]:
        return {
            page: {step["id"]: step for step in told.get("steps", ())}
            for page, told in self.raw.get("pages", {}).items()
        }

    def step(self, page: str, step: str | None) -> Mapping[str, Any]:
        """Return a step of a page; empty where this edition has none."""
        return self._steps.get(page, {}).get(step or "", {})

    def asks(self, job: str, step: str | None) -> list[str]:
        """Return what a job's step asks for."""
        return list(self.step(self.page(job), step).get("asks", ()))

    def hazards(self, job: str, step: str | None) -> list[str]:
        """Return the hazards of a job's step: those before it on its page, and those that the job adds."""
        return [*self.step(self.page(job), step).get("hazards", ()), *self.rule(job, step).get("hazards", ())]

    def sequence(self, name: str) -> Mapping[str, Any]:
        """Return a sequence; empty where this edition has none."""
        found: Mapping[str, Any] = next(
            (each for each in self.raw.get("sequences", ()) if each["id"] == name), {}
        )
        return found

    def listed(self, sequence: str) -> list[Mapping[str, Any]]:
        """Return the entries of a sequence's list, each with its job and its conditions."""
        rows: Sequence[Any] = self.sequence(sequence).get("jobs", ())
        named = [{row: {}} if isinstance(row, str) else row for row in rows]
        return [{"job": job, **told} for row in named for job, told in row.items()]

    def question(self, path: str | None, question: str | None) -> Mapping[str, Any]:
        """Return a question of a fault path, the first where none is named; empty where there is none."""
        rows = self.raw.get("paths", {}).get(path, {}).get("questions", ())
        found: Mapping[str, Any] = next((row for row in rows if question in (None, row["id"])), {})
        return found

    def signal(self, hazard: str) -> str:
        """Return a hazard's signal word in small letters."""
        return str(self.raw.get("hazards", {}).get(hazard, "warning")).lower()

    def figure(self, name: str, default: float) -> float:
        """Return a figure of the plan."""
        value = self.raw.get("figures", {}).get(name)
        return default if value is None else float(value)

    def leveler(self, name: str | None) -> Mapping[str, Any]:
        """Return a leveler class; empty where it is not in the registers."""
        found: Mapping[str, Any] = self.raw.get("levelers", {}).get(name, {})
        return found

    def may_have(self, leveler: str | None, ways: Collection[str]) -> bool:
        """Return whether a leveler has one of these ways, or nobody knows its way of their thing."""
        things = self.raw.get("ways", {})
        wanted = {things.get(way) for way in ways}
        known = [way for way in self.leveler(leveler).get("ways", ()) if things.get(way) in wanted]
        return not known or bool(set(ways) & set(known))

    def springs_job(self, spring: str, sequence: str) -> str | None:
        """Return the job that sets a spring, one of the sequence's list before others."""
        listed = [row["job"] for row in self.listed(sequence)]
        found = [name for name, job in self.raw.get("jobs", {}).items() if job.get("spring") == spring]
        found = [name for name in found if self.job(name) and "check" in self.raw["jobs"][name]]
        return next((name for name in listed if name in found), found[0] if found else None)
