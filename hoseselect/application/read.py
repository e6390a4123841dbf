"""What the print on a hose means by published standards, and what it does not prove."""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass
from typing import Any

from hoseselect.intake.print_words import (
    dates_in,
    forms_in,
    markings_in,
    polymers_in,
    pressures_in,
    sizes_in,
    stops_in,
    strange_standards,
)
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import Row, table
from hoseselect.quantities.figure_text import format_quantity
from hoseselect.quantities.spelling import without_unseen
from hoseselect.rules.stop import stop_of


@dataclass(frozen=True)
class MarkingRead:
    """One published marking found in a print.

    Parameters
    ----------
    marking : id
    found : the words of the print
    title, meaning, does_not_prove : in plain words
    figures : published figures, each with its source
    suits, in_part, never : services it suits, suits in part, and must not be used for
    source : where the meaning comes from
    """

    marking: str
    found: str
    title: str
    meaning: str
    does_not_prove: str
    figures: tuple[str, ...]
    suits: tuple[str, ...]
    in_part: tuple[str, ...]
    never: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class PrintRead:
    """A printed line and what it says.

    Parameters
    ----------
    text : as typed
    markings : found in it
    sizes : sizes found in it
    notes : what cannot be told from it
    stops : what in it means that no job for bulk hose is served by it, and who does such work
    polymers, pressures, dates, forms : what else is found in it, in plain words
    """

    text: str
    markings: tuple[MarkingRead, ...]
    sizes: tuple[str, ...]
    notes: tuple[str, ...]
    stops: tuple[str, ...] = ()
    polymers: tuple[str, ...] = ()
    pressures: tuple[str, ...] = ()
    dates: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()

    @property
    def exit_code(self) -> int:
        """0 where a published marking was found, 1 where none was or the print is a stop."""
        return 0 if self.markings and not self.stops else 1

    def as_json(self) -> dict[str, Any]:
        """Return the reading as plain values."""
        return asdict(self)


SUITING = ("yes", "over-specified")
LONGEST_PRINT = 400
UNMARKED = (
    "No published marking is found in this print. Unless the supplier names the liner, nothing can"
    " be judged of it and it is refused; for fuel and brake servo it is refused in any case."
)
DATE = "Look for the date of make: rubber ages on the shelf, and old grades predate today's fuels."
BARE = re.compile(r"R ?-? ?(?P<number>\d{1,2})", re.IGNORECASE)
STANDARDS_WITH_R = ("SAE J30", "SAE J20", "SAE 100")
ALONE = (
    "A letter R and a number alone name no standard: look for 30, J30, J20 or 100 before it. What"
    " is told here is what the number would mean in each; until it is found, nothing is proved."
)
COLOUR = "Colour, feel and the word 'fuel' or 'oil' prove nothing."


def read_print(text: str) -> PrintRead:
    """Return what a printed line means.

    Raises
    ------
    InputError
        when there is no text, or far too much of it.
    """
    plain = " ".join(without_unseen(text).split())
    if not plain:
        raise InputError("print", "no text", "the printed line of a hose, e.g. 'SAE 30R7'")
    if len(plain) > LONGEST_PRINT:
        raise InputError("print", f"{len(plain)} letters", f"at most {LONGEST_PRINT}: one line")
    found = tuple(_read(row, words) for row, words in markings_in(plain))
    notes = [DATE, COLOUR] if found else [UNMARKED, COLOUR]
    bare = BARE.fullmatch(plain)
    if bare is not None and not found:
        asked = [f"{standard} R{bare['number']}" for standard in STANDARDS_WITH_R]
        found = tuple(_read(row, words) for each in asked for row, words in markings_in(each))
        notes = [ALONE, DATE, COLOUR] if found else notes
    strange = strange_standards(plain)
    notes += [f"{name} is not known here: it proves nothing." for name in strange]
    polymers = tuple(f"{row['symbol']}: {row['name']}" for row in polymers_in(plain))
    pressures = tuple(map(_pressure, pressures_in(plain)))
    notes += [POLYMER] * bool(polymers) + [HOSE_ALONE] * bool(pressures)
    return PrintRead(
        plain,
        found,
        sizes_in(plain),
        tuple(notes),
        tuple(map(_stop, stops_in(plain))),
        polymers,
        pressures,
        dates_in(plain),
        tuple(_form(row) for row in forms_in(plain)),
    )


def _stop(row: Row) -> str:
    stop = stop_of(row["stop"])
    return f"{row['title']}: no hose and clamps here. {stop.reason} Go to: {stop.who}."


def _form(row: Row) -> str:
    return f"{row['title']}: {row['meaning']}. {row['does_not_prove']} [{row.source}]"


def _pressure(found: tuple[str, float, bool]) -> str:
    words, kilopascal, burst = found
    what = "bursts at" if burst else "stands"
    return f"'{words}': {what} {format_quantity(kilopascal, 'pressure', 'both')}"


POLYMER = (
    "A polymer in the print tells what a layer is made of, not which layer, and not that it suits."
)
HOSE_ALONE = (
    "A pressure in the print is that of the hose alone: held by clamps it is good for less."
    " A burst pressure is never a working pressure."
)


def _read(row: Row, found: str) -> MarkingRead:
    marking = row["marking"]
    figures = tuple(
        f"{r['figure']} {r['value']} {r['unit']} [{r.source}]"
        for r in table("marking_figures").where(marking=marking)
    )
    services = table("service_markings").where(marking=marking)
    return MarkingRead(
        marking=marking,
        found=found,
        title=row["title"],
        meaning=row["meaning"],
        does_not_prove=row["does_not_prove"],
        figures=figures,
        suits=tuple(r["service"] for r in services if r["answer"] in SUITING),
        in_part=tuple(
            f"{r['service']}: {r['basis']}" for r in services if r["answer"] == "in-part"
        ),
        never=tuple(r["service"] for r in services if r["answer"] == "no"),
        source=row.source,
    )
