"""The job book on the terminal: its lines, a job and its answer again."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from math import isnan
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoseselect.interfaces.cli.common import Screen, write_json
from hoseselect.interfaces.cli.job_input import JobInput
from hoseselect.interfaces.cli.keep import keep, with_number, write_number
from hoseselect.interfaces.cli.table import table_lines
from hoseselect.interfaces.in_use import catalogue_in_use
from hoseselect.interfaces.wording import VERDICTS, length, one_length, service_words

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.application.cut import CutResult
    from hoseselect.book.entry import Entry

WORDS = {verdict.word: words.split(" ", 1)[1] for verdict, words in VERDICTS.items()}
WORDS["none"] = "no hose looked at"
NO_LINE = "No such job in the book."


def said(text: str) -> None:
    """Write one line."""
    Screen().line(text)


def show_entries(entries: Sequence[Entry], *, json: bool) -> None:
    """Write lines of the book."""
    if json:
        write_json([entry.as_json() for entry in entries])
        return
    if not entries:
        said(NO_LINE)
        return
    screen = Screen()
    rows = [_row(entry) for entry in entries]
    kept = [key for key in rows[0] if any(row[key] for row in rows)]
    for line in table_lines([{key: row[key] for key in kept} for row in rows], screen.width):
        screen.line(line)


def _row(entry: Entry) -> dict[str, Any]:
    own = entry.asked
    return {
        "job": entry.number,
        "asked": entry.asked_at,
        "note": own.note or own.name,
        "line": service_words(own.service),
        "answer": in_words(own.verdict, own.hose),
        "cut": "" if isnan(own.cut) else one_length(own.cut, own.units).replace("\u00a0", " "),
        "fitted": entry.fitted_hose or entry.fitted,
        "re-check": f"done {entry.done_on}" if entry.done_on else entry.recheck_on,
    }


def in_words(verdict: str, hose: str) -> str:
    """Return an answer in a few words."""
    return f"{WORDS.get(verdict, verdict.upper())} {hose}".strip()


def answered_then(entry: Entry, told: Answer | CutResult) -> str:
    """Return what a job was answered with when it was asked; empty where that is the answer now."""
    asked = entry.asked
    verdict, hose, cut = told.in_short
    if (verdict, hose) == (asked.verdict, asked.hose) and not differ(cut, asked.cut):
        return ""
    cut_then = "" if isnan(asked.cut) else f", cut {length(asked.cut, asked.units)}"
    return f"[!] Answered then: {in_words(asked.verdict, asked.hose)}{cut_then}."


def show_again(
    entry: Entry, given: JobInput, catalog: str | None, *, json: bool, full: bool
) -> int:
    """Write a line of the book and the answer to its job, as it is today; return the exit code.

    Where the answer is another one than it was, because catalogue or settings changed, that is
    said.
    """
    told = answered(entry, given, catalog)
    if json:
        write_json({"entry": entry.as_json(), "answer": told.as_json()})
        return told.exit_code
    screen = Screen()
    whose = f" for '{entry.asked.note}'" if entry.asked.note else ""
    before = f", altered from job {entry.asked.altered_from}" if entry.asked.altered_from else ""
    head = f"Job {entry.number}, asked {entry.asked_at} by {entry.asked.command}{whose}{before}."
    screen.item(head, 0)
    if entry.fitted == "yes":
        looked = f", looked at again {entry.done_on}" if entry.done_on else ""
        screen.item(f"Fitted {entry.fitted_on}: {entry.fitted_hose}{looked}.", 0)
    if then := answered_then(entry, told):
        screen.item(then, 0)
        screen.item(
            "The catalogue or the shop's settings have changed; below is today's answer.", 0
        )
    screen.line("")
    show_told(entry, told, full=full)
    return told.exit_code


def show_altered(
    entry: Entry, given: JobInput, catalog: str | None, *, json: bool, full: bool
) -> int:
    """Answer a job of which something was altered, under a new number; return the exit code."""
    told, units = answered(entry, given, catalog), entry.asked.units
    number = keep(given, entry.asked.command, told, units, entry.asked.options)
    if json:
        write_json(with_number(told.as_json(), number))
    else:
        show_told(entry, told, full=full)
        write_number(number)
    return told.exit_code


def differ(one: float, other: float) -> bool:
    """Return whether two lengths differ; those that are not known do not."""
    return one != other and not (isnan(one) and isnan(other))


def answered(entry: Entry, given: JobInput, catalog: str | None) -> Answer | CutResult:
    """Return the answer to a job of the book, by the command that asked."""
    job, own, units = given.job(), entry.asked.options, entry.asked.units
    if entry.asked.command == "cut":
        from hoseselect.interfaces.cli.cut import planned

        asked = own.get("hose"), own.get("radius"), own.get("outside_diameter")
        return planned(job, *asked, catalog, units)
    from hoseselect.application.pick import check_hose, pick_hose

    catalogue = catalogue_in_use(catalog)
    if entry.asked.command == "check":
        return check_hose(own["hose"], job, catalogue, units=units)
    prefer, shelf = own.get("prefer", "margin"), tuple(own.get("shelf", ()))
    return pick_hose(job, catalogue, prefer=prefer, shelf=shelf, units=units)


def show_told(entry: Entry, told: Answer | CutResult, *, full: bool) -> None:
    """Write an answer as the command that asked does."""
    from hoseselect.answer.answer import Answer

    units = entry.asked.units
    if not isinstance(told, Answer):
        from hoseselect.interfaces.cli.show_cut import show_cut_first, show_cut_result

        (show_cut_result if full else show_cut_first)(told, units)
    elif full:
        from hoseselect.interfaces.cli.show_answer import show_answer, show_check

        (show_check if entry.asked.command == "check" else show_answer)(told, units)
    else:
        from hoseselect.interfaces.cli.first_screen import first_screen

        screen = Screen()
        for row in first_screen(told.summary, units, screen.width):
            screen.line(row)


def show_place(file: Path | None) -> None:
    """Write where the book is, and how it is deleted."""
    if file is None:
        said("No job book is kept: it is switched off.")
        return
    sys.stdout.write(f"{file}{'' if file.exists() else ' (not there yet)'}\n")
    screen = Screen()
    for text in PLACE:
        screen.item(text, 0)


PLACE = (
    "It holds jobs, answers and the notes that were typed, and nothing leaves this machine.",
    "`hoseselect book forget N` takes one job out for good. To delete the whole book, delete this"
    " file and those beside it that begin with its name. `hoseselect settings set book off` keeps"
    " none.",
)
