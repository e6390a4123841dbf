"""What to see to at the vehicle, and what was taken as usual, on the terminal."""

from __future__ import annotations

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.summary import look_words
from hoseselect.interfaces.cli.common import Screen
from hoseselect.interfaces.wording import (
    SEE_TO,
    TAKEN_AS_USUAL,
    shop_settings,
    taken_as_usual,
)


def write_looks(console: Screen, hose: HoseAnswer) -> None:
    """Write what to see to at the vehicle before anything flows."""
    if hose.looks:
        console.heading(SEE_TO)
    for words in look_words(hose.looks):
        console.item(words)


def write_usual(console: Screen, answer: Answer) -> None:
    """Write what nobody can see to at the vehicle and was taken as usual for such a line."""
    taken = taken_as_usual(answer)
    if taken:
        console.heading(TAKEN_AS_USUAL)
        console.item(taken)
    if told := shop_settings(answer):
        console.line("")
        console.item(told, 0)
