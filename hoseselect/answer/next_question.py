"""What to ask at the counter next: the first input in the deciding order that changes a verdict."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from hoseselect.answer.answer import Answer
from hoseselect.answer.ask_next import ask_next
from hoseselect.answer.hose_answer import comparable
from hoseselect.answer.judged import judged
from hoseselect.domain.job import Job, Route
from hoseselect.judging.columns import HoseColumns
from hoseselect.knowledge.load import Row, table
from hoseselect.rules.stop import stops

INPUT_THAT_LIFTS = {"injection-pressure-unknown": "duty.pressure_max"}
TRIED_LENGTH = 300.0  # mm
TRIED_RADIUS = 400.0  # mm


def next_question(job: Job, hoses: HoseColumns, put: Set[str], told: Answer | None = None) -> str:
    """Return the input to ask for next, an empty text where nothing more changes a verdict.

    Parameters
    ----------
    job : as far as it is known
    hoses : the columns of a catalogue
    put : inputs that were asked for or told
    told : the answer to the job so far, whose judgement is taken where the job is quite the same
    """
    met = stops(job)
    if met:
        lifting = {INPUT_THAT_LIFTS.get(stop.code, "") for stop in met}
        return "" if len(lifting) > 1 or lifting <= put else lifting.pop()
    rows = [row for row in table("questions") if row["interview"] != "" and row["input"] not in put]
    tried = _without_free(job)
    if told is not None and not told.shelf and comparable(told.job) == comparable(tried):
        said = told.judged
        ask_next(said)  # all at once; what follows finds it done
    else:
        said = judged([tried], hoses)
    for row in sorted(rows, key=_place):
        if ask_next(said, row["input"])[0]:
            return row["input"]
    return ""


def _place(row: Row) -> float:
    return row.number("interview")


def _without_free(job: Job) -> Job:
    """Return a job in which a free route, which is long to solve, is an easy run instead."""
    if job.route.free is None:
        return job
    easy = Route(kind="measured", measured=TRIED_LENGTH, tightest_radius=TRIED_RADIUS)
    return replace(job, route=easy)
