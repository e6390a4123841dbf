"""What was assumed for a job, in words with sources."""

from __future__ import annotations

import numpy as np

from hoseselect.answer.judged import Judged
from hoseselect.answer.sentences import figure
from hoseselect.answer.values import Assumption
from hoseselect.judging.assume import Assumed
from hoseselect.judging.columns import Array
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import Row, limit_source, table

UNIT_OF_KIND = {"number": "mm", "bead": "mm", "answer": "", "fluids": "", "measured-on": ""}
ANSWERS = {1: "yes", 0: "no", -1: "unknown"}


def assumptions(said: Judged, row: int = 0) -> tuple[Assumption, ...]:
    """Return every assumption that a rule made use of for one job.

    Parameters
    ----------
    said : jobs that were judged together
    row : position of the job
    """
    used: set[str] = set()
    for result in said.results:
        if result.doubted(row).any() and _applies(result, row):
            used |= result.rule.reads
    fillings = [f for f in said.filled.fillings if f.column in used and f.where[row, 0]]
    because = {filling.because for filling in fillings}
    made = []
    for question in table("questions"):
        name = question["columns"].split(";")[0]
        if name in because:
            made.append(_assumption(question, name, said.filled, row))
    return tuple(made)


def _applies(result: RuleResult, row: int) -> bool:
    applies = result.comparison.applies
    if applies is None:
        return True
    across = np.atleast_2d(applies)
    return bool(across[int(result.place[row]) if len(across) > 1 else 0].any())


def _assumption(question: Row, name: str, filled: Assumed, row: int) -> Assumption:
    kind = question["kind"]
    value = getattr(filled.adverse, name)[row]
    unit, source = UNIT_OF_KIND.get(kind, ""), question.source
    if kind == "duty":
        unit, source = _duty_source(name, int(filled.adverse.service[row, 0]))
    if kind in {"bead", "measured-on"}:
        source = limit_source("bead-over-nipple-max")
    return Assumption(question["input"], _words(kind, value), unit, source)


def _duty_source(name: str, service: int) -> tuple[str, str]:
    found = table("service_duty").row(service=service_columns().names[service], field=name)
    return found["unit"], found.source


def _words(kind: str, value: Array) -> str:
    if kind == "fluids":
        names = service_columns().fluids
        return ", ".join(names[k] for k in np.flatnonzero(value))
    if kind == "answer":
        return ANSWERS[int(value[0])]
    return figure(float(value[0]))
