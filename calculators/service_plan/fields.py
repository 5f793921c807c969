"""The inputs and outputs of the service plan."""

from __future__ import annotations

from calculators.shared.fields import Field, Output
from calculators.shared.recurrence import UNITS

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

INPUTS = (
    Field(name="start", kind="date", label="Plan from", help="The first day of the plan, most often today."),
    Field(
        name="until", kind="date", label="Plan to", help="The last day of the plan, at most five years on."
    ),
    Field(
        name="tasks",
        kind="rows",
        least=1,
        most=50,
        label="Tasks",
        help="One row a task, each with a time, with cycles, or with both.",
        fields=(
            Field(
                name="name",
                kind="text",
                least=1,
                most=80,
                label="Task",
                help="Stands in the calendar, so name it as the book does.",
            ),
            Field(
                name="every",
                kind="whole",
                unit="1",
                low=1,
                high=120,
                optional=True,
                label="Every",
                help="How many weeks, months or years.",
            ),
            Field(
                name="unit",
                kind="choice",
                choices=UNITS,
                optional=True,
                label="Weeks, months or years",
                help="What is counted.",
            ),
            Field(
                name="every_cycles",
                kind="whole",
                unit="cycles",
                low=1,
                high=10_000_000,
                optional=True,
                label="Or after cycles",
                help="Whichever comes first, time or cycles.",
            ),
            Field(
                name="last_done",
                kind="date",
                may_be_null=True,
                label="Last done",
                help="The day it was last finished; empty where nobody knows.",
            ),
        ),
    ),
    Field(
        name="cycles_per_day",
        kind="number",
        unit="cycles a day",
        low=0.001,
        high=10_000,
        optional=True,
        label="Cycles a day",
        help="A mean over all days, closed ones too; needed for tasks after cycles.",
    ),
    Field(
        name="closed_days",
        kind="dates",
        least=0,
        most=400,
        optional=True,
        label="Closed days",
        help="Days on which nobody works at the dock.",
    ),
    Field(
        name="closed_weekdays",
        kind="rows",
        least=0,
        most=6,
        optional=True,
        label="Closed every week",
        help="Weekdays on which nobody works at the dock.",
        fields=(Field(name="weekday", kind="choice", choices=WEEKDAYS, label="Weekday", help="The day."),),
    ),
    Field(
        name="place",
        kind="text",
        least=1,
        most=60,
        optional=True,
        label="Door or leveler",
        help="Stands before each task in the calendar and keeps the plans of several doors apart.",
    ),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="What comes first, in one sentence."),
    Output(
        name="due",
        kind="rows",
        label="Due",
        help="Every job of the plan, by date and then in the order of the tasks.",
        fields=(
            Output(name="date", kind="date", label="Date", help="The day it is planned for."),
            Output(name="task", kind="text", label="Task", help="As it was named."),
            Output(
                name="latest",
                kind="date",
                label="Due by",
                help="The latest day allowed; before the plan where it is overdue.",
            ),
            Output(name="why", kind="sentence", label="Why", help="What makes it due on that day."),
        ),
    ),
    Output(name="reasons", kind="sentences", label="Why", help="How the plan was made."),
    Output(
        name="calendar",
        kind="text",
        may_be_null=True,
        label="Calendar file",
        help="The same jobs for any calendar, as RFC 5545 text; none where nothing falls due.",
    ),
)
