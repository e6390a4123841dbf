"""What is wrong with a catalogue folder: one complaint a fault, by file, line and column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from hoseselect.knowledge.errors import CatalogueError

Severity = Literal["error", "warning"]

SHOWN = 20
"""Complaints written out by `str` of an error; the rest are counted."""


def printable(text: str) -> str:
    """Return the text with control characters written out, so that a terminal cannot obey them."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


@dataclass(frozen=True)
class Complaint:
    """One fault of a catalogue folder.

    Parameters
    ----------
    severity : "error" (the catalogue cannot be used) or "warning" (look at it)
    file : name of the file inside the folder
    line : line of the file, from 1; 0 for the file as a whole
    column : number of the column, from 1; 0 for the line as a whole
    heading : heading of the column, "" for the line as a whole
    found : what stands there
    expected : what would be right
    """

    severity: Severity
    file: str
    line: int
    column: int
    heading: str
    found: str
    expected: str

    @property
    def place(self) -> str:
        """File, line, column number and heading, e.g. ``hose_sizes.csv:12:4 (bore_min_mm)``."""
        if self.line == 0:
            return self.file
        if self.column == 0:
            return f"{self.file}:{self.line}"
        return f"{self.file}:{self.line}:{self.column} ({printable(self.heading)})"

    @property
    def sentence(self) -> str:
        """The complaint as one sentence."""
        return f"{self.place}: found {printable(self.found)}; expected {printable(self.expected)}"

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sorting key: file, line, column, then severity and text."""
        return (self.file, self.line, self.column, self.severity, self.found)


class UnusableCatalogueError(CatalogueError):
    """A catalogue folder cannot be used; carries every complaint.

    Parameters
    ----------
    folder : the catalogue folder
    complaints : all complaints of severity "error", in order of place
    """

    def __init__(self, folder: str, complaints: Sequence[Complaint]) -> None:
        super().__init__(
            place=folder,
            found=f"{len(complaints)} faults" if len(complaints) != 1 else "1 fault",
            expected="a catalogue without faults",
        )
        self.folder = folder
        self.complaints = tuple(complaints)

    def __reduce__(self) -> tuple[type[UnusableCatalogueError], tuple[str, tuple[Complaint, ...]]]:
        """Keep the complaints when the error is carried to another process."""
        return (type(self), (self.folder, self.complaints))

    def __str__(self) -> str:
        lines = [f"{self.folder}: the catalogue cannot be used, {self.found}"]
        lines += [complaint.sentence for complaint in self.complaints[:SHOWN]]
        if len(self.complaints) > SHOWN:
            lines.append(f"... and {len(self.complaints) - SHOWN} more")
        return "\n".join(lines)
