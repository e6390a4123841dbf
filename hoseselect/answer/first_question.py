"""The one thing that decides where nothing can be offered yet, with its numbered replies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hoseselect.answer.ask_next import Asked, words
from hoseselect.answer.trials import FLUIDS_FOR_TRIAL
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table
from hoseselect.quantities.shown import shown

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer

YES_OR_NO = ("no", "yes")


@dataclass(frozen=True)
class FirstQuestion:
    """What is asked first.

    Parameters
    ----------
    question_key : key of a job file
    question : in plain words
    choices : replies that may be given, as a job file takes them; empty = a figure
    """

    question_key: str = ""
    question: str = ""
    choices: tuple[str, ...] = ()


def first_question(answer: Answer) -> FirstQuestion:
    """Return the question that decides most, one with replies to choose from before a gauge.

    It is about what the rule reads that stands in the way of the best hose, where one is.
    """
    if answer.lead is not None and answer.lead.decided_by == UNNAMED:
        return FirstQuestion(INSERT, table("questions").row(input=INSERT)["question"], PARTS)
    if not answer.asked:
        return FirstQuestion()
    chosen = next((own for own in answer.asked if _reads(answer, own)), answer.asked[0])
    if table("questions").row(input=chosen.field)["kind"] == "duty":
        alike = [own for own in answer.asked if _covers(own.decides, chosen.decides)]
        chosen = next((own for own in alike if _choices(own, answer)), chosen)
    key, sentence = words(chosen)
    return FirstQuestion(key, sentence, _choices(chosen, answer))


def _reads(answer: Answer, asked: Asked) -> bool:
    """Return whether the rule that decides on the best hose reads what a question is about."""
    decided = answer.lead.decided_by if answer.lead is not None else ""
    columns = set(table("questions").row(input=asked.field)["columns"].split(";"))
    return any(
        result.rule.code == decided and bool(columns & result.rule.reads)
        for result in answer.judged.results
    )


def _covers(more: bytes, less: bytes) -> bool:
    """Return whether one question settles every hose that another does."""
    return all(own & other == other for own, other in zip(more, less, strict=True))


def _choices(asked: Asked, answer: Answer) -> tuple[str, ...]:
    row = table("questions").row(input=asked.field)
    if row["kind"] in {"answer", "keep"} and asked.field != INSERT:
        return YES_OR_NO
    if row["kind"] == "measured-on":
        return ("plain", "bead")
    if asked.field == "fluids":
        columns = service_columns()
        return FLUIDS_FOR_TRIAL.get(columns.group[columns.index[answer.job.service]], ())
    if asked.field == INSERT:
        return PARTS
    if row["columns"] == "tightest_radius":
        return tuple(shown(float(text), "mm", answer.units) for text in row["plausible"].split(";"))
    return ()


INSERT, UNNAMED = "features.insert", "route-insert"
"""What sat in the old hose, and the rule that waits for somebody to name it."""
PARTS = ("none", "restrictor", "check-valve", "flame-trap", "moulded-in")
