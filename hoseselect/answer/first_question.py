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
    """Return the first of the questions of an answer, with the replies to choose from."""
    if not answer.asked:
        return FirstQuestion()
    key, sentence = words(answer.asked[0])
    return FirstQuestion(key, sentence, _choices(answer.asked[0], answer))


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


INSERT = "features.insert"
"""What sat in the old hose."""
PARTS = ("none", "restrictor", "check-valve", "flame-trap", "moulded-in")
