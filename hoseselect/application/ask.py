"""The counter interview: a few questions in the deciding order, "don't know" always allowed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import AmbiguousNameError, InputError
from hoseselect.knowledge.load import table

MOST_QUESTIONS = 8

# What one answer at the counter fills in beside the field itself.
ALSO = {
    "nipple_a.outside_diameter": {"nipple_a.measured_on": "plain", "nipple_b.measured_on": "plain"},
}
SAME_AT_B = {
    "nipple_a.outside_diameter": "nipple_b.outside_diameter",
    "nipple_a.bead": "nipple_b.bead",
}


@dataclass(frozen=True)
class Asked:
    """One question of the interview.

    Parameters
    ----------
    field : input as in a job file
    question : in plain words
    """

    field: str
    question: str


Ask = Callable[[Asked, Callable[[str], None]], str]
"""Puts one question, tries the reply with the function it is given, returns the reply."""

SERVICE = Asked("service", "Which two parts does it join, and what runs in it? (e.g. PCV hose)")
NIPPLE_B = "The same for nipple B (leave empty if it is like A)"


def interview(
    ask: Ask,
    catalogue: Catalogue,
    told: Mapping[str, Any] | None = None,
    units: str = "mm",
) -> tuple[dict[str, Any], Job]:
    """Ask until the answer stands or eight questions are asked; return what was said and the job.

    Parameters
    ----------
    ask : puts one question, tries the reply with the function it is given, returns the reply
    catalogue : of the shop, which decides what is worth asking
    told : what is known of the job before, with keys as in a job file; it is not asked again
    units : "in" where bare pressures and temperatures are asked about
    """
    said: dict[str, Any] = dict(_flat(told or {}))
    read_job(nested({SERVICE.field: "unknown", **said}), "interview", units)
    known = {field.replace("nipples.", "nipple_a.") for field in said}
    ask = _in_units(ask, said, units)
    if SERVICE.field not in said:
        _put(said, SERVICE, ask)
    asked = {SERVICE.field}
    while len(asked) < MOST_QUESTIONS:
        job = read_job(nested(said), "interview")
        question = _next(job, catalogue, asked | known)
        if question is None:
            break
        asked.add(question.field)
        _put(said, question, ask)
        if question.field == BEAD and BEAD_DIAMETER in said:
            said[BEAD_DIAMETER.replace("_a", "_b")] = said[BEAD_DIAMETER]
            continue
        partner = SAME_AT_B.get(question.field)
        if partner:
            said[partner] = said[question.field]
            if question.field.endswith("outside_diameter") and said[question.field] != "unknown":
                reply = ask(Asked(partner, NIPPLE_B), _trial(said, partner))
                said[partner] = reply or said[question.field]
        for field, value in ALSO.get(question.field, {}).items():
            said[field] = value
        if question.field == "route":
            _follow_route(said, asked, ask)
    return nested(said), read_job(nested(said), "interview")


def _in_units(ask: Ask, said: Mapping[str, Any], units: str) -> Ask:
    """Return a way of asking that tries a reply to one field in the units of the shop as well."""

    def tried(question: Asked, trial: Callable[[str], None]) -> str:
        def both(reply: str) -> None:
            trial(reply)
            if reply and question.field.startswith("duty."):
                read_job(nested({**said, question.field: reply}), "answer", units)

        return ask(question, both)

    return tried if units == "in" else ask


def _next(job: Job, catalogue: Catalogue, asked: set[str]) -> Asked | None:
    """Return the next question in the deciding order that would change a verdict."""
    answer = pick_hose(job, catalogue)
    if answer.stops:
        return _lifting(answer, asked)
    fields = (question.field for question in answer.ask_next)
    decisive = {field.replace("nipples.", "nipple_a.") for field in fields}
    rows = [row for row in table("questions") if row["interview"] != ""]
    rows.sort(key=lambda row: row.number("interview"))
    for row in rows:
        if row["input"] in decisive and row["input"] not in asked:
            return Asked(row["input"], row["question"])
    return None


def _lifting(answer: Answer, asked: set[str]) -> Asked | None:
    """Return the question whose answer lifts the only stop, or none."""
    fields = [INPUT_THAT_LIFTS.get(stop.code) for stop in answer.stops]
    if len(fields) != 1 or fields[0] is None or fields[0] in asked:
        return None
    return Asked(fields[0], table("questions").row(input=fields[0])["question"])


INPUT_THAT_LIFTS = {"injection-pressure-unknown": "duty.pressure_max"}

FREE = "free"
FREE_QUESTIONS = (
    Asked(
        "route.free.offset",
        "Where is the mouth of nipple B from that of A? (e.g. 120 mm forward, 30 mm left, 8 mm up)",
    ),
    Asked(
        "route.free.nipple_a_points",
        "Where does nipple A point? (e.g. straight up; forward and 30 deg up)",
    ),
    Asked("route.free.nipple_b_points", "Where does nipple B point?"),
    Asked(
        "route.free.movement",
        "How far does B move against A, either way? (e.g. 5 mm forward, 8 mm up; empty = not)",
    ),
)


def _follow_route(said: dict[str, Any], asked: set[str], ask: Ask) -> None:
    """Ask what the kind of route wants: a free route by its ends, a measured one by its bend."""
    if said.get("route.measured", "").strip().lower() != FREE:
        if said.get("route.measured", "unknown") == "unknown":
            asked.add("route.tightest_radius")
        return
    del said["route.measured"]
    asked |= {"route.tightest_radius", "route.movement"}
    free: dict[str, str] = {}
    for question in FREE_QUESTIONS:
        reply = ask(question, _free_trial(said, free, question.field))
        if reply:
            free[question.field] = reply
    if set(free) >= {question.field for question in FREE_QUESTIONS[:3]}:
        said.update(free)


def _free_trial(
    said: Mapping[str, Any], free: Mapping[str, Any], field: str
) -> Callable[[str], None]:
    """Return a function that tries one reply on a free route with the others made up."""
    made_up = {
        "route.free.offset": "forward 100 mm",
        "route.free.nipple_a_points": "up",
        "route.free.nipple_b_points": "up",
    }

    def trial(reply: str) -> None:
        if reply:
            read_job(nested({**said, **made_up, **free, field: reply}), "answer")

    return trial


FIELD_OF = {"route": "route.measured"}


def _put(said: dict[str, Any], question: Asked, ask: Ask) -> None:
    field = FIELD_OF.get(question.field, question.field)
    ask = _numbered(ask)
    trial = _trial(said, field)
    if question.field == "route":
        trial = _or_free(trial)
    if question.field == BEAD:
        trial = _bead_trial(said, trial)
    reply = ask(question, trial) or "unknown"
    if question.field == BEAD and _is_length(reply):
        field = BEAD_DIAMETER
    said[field] = reply


def _numbered(ask: Ask) -> Ask:
    """Return a way of asking that offers by number what an ambiguous name may mean."""

    def numbered(question: Asked, trial: Callable[[str], None]) -> str:
        def tried(reply: str) -> None:
            _ambiguous(trial, reply)

        reply = ask(question, tried)
        name = _ambiguous(trial, reply)
        if name is None:
            return reply
        offered = {str(number): choice for number, choice in enumerate(name.choices, 1)}
        which = Asked(question.field, f"{name.found} is {name.expected}\nWhich number?")
        reply = ask(which, lambda text: trial(offered.get(text, text)))
        return offered.get(reply, reply)

    return numbered


def _ambiguous(trial: Callable[[str], None], reply: str) -> AmbiguousNameError | None:
    """Try a reply; return the error where it is one name and only means too much."""
    try:
        trial(reply)
    except InputError as error:
        name = error.faults[0]
        alone = len(error.faults) == 1 and not set(reply) & set(",;")
        if alone and isinstance(name, AmbiguousNameError) and name.choices:
            return name
        raise
    return None


BEAD, BEAD_DIAMETER = "nipple_a.bead", "nipple_a.bead_diameter"


def _is_length(reply: str) -> bool:
    """Return whether a reply to a yes-or-no question is a length instead."""
    return any(letter.isdigit() for letter in reply)


def _bead_trial(said: Mapping[str, Any], trial: Callable[[str], None]) -> Callable[[str], None]:
    """Return a trial that takes the diameter over the bead as well as yes or no."""
    diameter = _trial(said, BEAD_DIAMETER)
    return lambda reply: diameter(reply) if _is_length(reply) else trial(reply)


def _or_free(trial: Callable[[str], None]) -> Callable[[str], None]:
    """Return a trial that takes the word "free" as well."""
    return lambda reply: None if reply.strip().lower() == FREE else trial(reply)


def _trial(said: Mapping[str, Any], field: str) -> Callable[[str], None]:
    """Return a function that tries a reply and raises InputError where it cannot be used."""

    def trial(reply: str) -> None:
        if reply:
            read_job(nested({**said, field: reply}), "answer")

    return trial


def _flat(values: Mapping[str, Any], table: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the keys of a job file with dots, and their values."""
    for name, value in values.items():
        place = f"{table}.{name}".lstrip(".")
        if isinstance(value, Mapping):
            yield from _flat(value, place)
        else:
            yield place, value


def nested(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return dotted fields as the mapping of a job file."""
    values: dict[str, Any] = {}
    for field, value in said.items():
        *parents, last = field.split(".")
        inner = values
        for name in parents:
            inner = inner.setdefault(name, {})
        inner[last] = value
    return values
