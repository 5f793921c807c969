"""The keys of sequences.yml: of a job, of what happens at its steps, of a sequence, around fault paths."""

from __future__ import annotations

from build_tools.reading.shapes import Key, Shape

SPRINGS = ("mainspring", "lip-assist")
FILE_SHAPE: Shape = {
    "jobs": Key("rows", "sequences are made of jobs", "[{id: cycle, page: ...}]"),
    "sequences": Key("rows", "a visit is opened by choosing one", "[{id: weekly-check, ...}]"),
    "fault_paths": Key("mapping", "every fault path can be worked", "{before: [], ...}", False),
    "stand_alone": Key("texts", "a step that says so shares no screen", "[lock, count]", False),
}
JOB_SHAPE: Shape = {
    "id": Key("id", "sequences name a job by its id", "set-mainspring"),
    "page": Key("text", "the steps of a job stand on its page", "procedures/set-the-mainspring.md"),
    "spring": Key("text", "half turns are counted for one kind of spring", SPRINGS[0], False, SPRINGS),
    "steps": Key("names", "a job may be part of a page", "look-at-the-springs..find-the-limits", False),
    "once": Key("names", "such steps are passed over the second time in a visit", "mark-nut..limits", False),
    "ways": Key("mapping", "such steps are for one way only", "{lip-by-hand: [lift-it]}", False),
    "stands_until": Key("names", "the job stands until one of these is worked", "cycle", False),
    "check": Key("id", "a half turn made out of order leads to this step", "run-it-again", False),
    "at": Key("mapping", "a step may be more than read and done", "{warm-up: {work: cycle}}", False),
    "path": Key("id", "the fault path is asked after the last step", "will-not-rise-fully", False),
    "ends": Key("mapping", "an end of the path may lead elsewhere", "{look-at-it/1: stop}", False),
    "left_out": Key("mapping", "whoever leaves a step out says why", "{end-the-job: ...}", False),
}
AT_SHAPE: Shape = {
    "work": Key("id", "that job is worked in this step's place", "cycle", False),
    "enough": Key("id", "the figure says how many cycles are enough", "warm-up-cycles", False),
    "since": Key("id", "only the cycles after that step are counted", "go-under", False),
    "if_done": Key("names", "the step is worked only after these jobs", "put-on-support", False),
    "stands_until": Key("names", "what was done stands until one of these jobs", "put-on-support", False),
    "hazards": Key("names", "the step needs these, and its page shows them later", "walk-down-slip", False),
    "again": Key("by-way", "the visit goes back to that step", "hold-the-rod", False),
    "until": Key("id", "the figure says how many runs are wanted", "timing-runs", False),
    "ask": Key("id", "that calculator is asked after this step", "mainspring-plan", False),
    "led_by": Key("id", "the last answer of that calculator leads on", "fold-time", False),
    "answers": Key("mapping", "each outcome leads somewhere", "{leave: end, other: stop}", False),
}
SEQUENCE_SHAPE: Shape = {
    "id": Key("id", "links and records name a sequence by its id", "set-a-leveler"),
    "label": Key("text", "the technician chooses by it", "Set a leveler that is off"),
    "said_as": Key("texts", "what was asked for, in people's own words", "[slams]", required=False),
    "page": Key("text", "that page offers it", "checks/weekly-check.md", required=False),
    "jobs": Key("list", "a sequence is jobs in order", "[make-safe, cycle]"),
    "stop": Key("id", "a stop leads to this job", "tag-out"),
}
AROUND_SHAPE: Shape = {
    "before": Key("list", "these jobs come before the path", "[]"),
    "after": Key("list", "these jobs come after what the path led to", "[return]"),
    "stop": Key("id", "a stop leads to this job", "tag-out"),
    "works": Key("mapping", "a step that sends to such a page is worked", "{procedures/x.md: job}", False),
    "leads_on": Key("texts", "a step that sends to such a page is left out", "[procedures/x.md]", False),
    "first": Key("mapping", "an end that leads to a job comes to this one first", "{set: look}", False),
    "asked_again": Key("texts", "after these jobs the path is asked again, once", "[clean-hinges]", False),
    "reading": Key("texts", "such a page is read, and nothing on it is worked", "[know/x.md]", False),
}
LISTED_SHAPE: Shape = {
    "if_sent": Key("flag", "the job is worked only where an answer sends to it", "true", False),
    "if_done": Key("names", "the job is worked only after these jobs", "put-on-support", False),
}
