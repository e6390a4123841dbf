"""What the print on a hose means by published standards, and what it does not prove."""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass
from typing import Any

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import Row, table


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
    """

    text: str
    markings: tuple[MarkingRead, ...]
    sizes: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def exit_code(self) -> int:
        """0 where a published marking was found, 1 where none was."""
        return 0 if self.markings else 1

    def as_json(self) -> dict[str, Any]:
        """Return the reading as plain values."""
        return asdict(self)


SUITING = ("yes", "over-specified")
LONGEST_PRINT = 400
SIZE = re.compile(
    r"(?<![\w/.])(?:\d+[ -])?\d+/\d+ ?(?:in\b|inch\b|\"|'')|\b\d+(?:[.,]\d+)? ?mm\b", re.IGNORECASE
)
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
    plain = " ".join(text.split())
    if not plain:
        raise InputError("print", "no text", "the printed line of a hose, e.g. 'SAE 30R7'")
    if len(plain) > LONGEST_PRINT:
        raise InputError("print", f"{len(plain)} letters", f"at most {LONGEST_PRINT}: one line")
    found = tuple(_read(row, plain) for row in table("markings") if _match(row, plain))
    notes = [DATE, COLOUR] if found else [UNMARKED, COLOUR]
    bare = BARE.fullmatch(plain)
    if bare is not None and not found:
        asked = [f"{standard} R{bare['number']}" for standard in STANDARDS_WITH_R]
        rows = table("markings")
        found = tuple(_read(row, text) for text in asked for row in rows if _match(row, text))
        notes = [ALONE, DATE, COLOUR] if found else notes
    return PrintRead(plain, found, tuple(m.group(0) for m in SIZE.finditer(plain)), tuple(notes))


def _match(row: Row, text: str) -> re.Match[str] | None:
    return re.search(row["print_pattern"], text, re.IGNORECASE)


def _read(row: Row, text: str) -> MarkingRead:
    marking = row["marking"]
    match = _match(row, text)
    figures = tuple(
        f"{r['figure']} {r['value']} {r['unit']} [{r.source}]"
        for r in table("marking_figures").where(marking=marking)
    )
    services = table("service_markings").where(marking=marking)
    return MarkingRead(
        marking=marking,
        found="" if match is None else match.group(0),
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
