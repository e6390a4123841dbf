"""What is wrong with a catalogue folder: one complaint a fault, by file, line and column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from hoseselect.knowledge.errors import CatalogueError, ManyFaultsError

Severity = Literal["error", "warning"]


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
    def error(self) -> CatalogueError:
        """The complaint as an error."""
        return CatalogueError(self.place, printable(self.found), printable(self.expected))

    @property
    def sentence(self) -> str:
        """The complaint as one sentence."""
        return str(self.error)

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sorting key: file, line, column, then severity and text."""
        return (self.file, self.line, self.column, self.severity, self.found)


def unusable(folder: str, complaints: Sequence[Complaint]) -> ManyFaultsError:
    """Return the error of a catalogue folder that cannot be used.

    Parameters
    ----------
    folder : the catalogue folder
    complaints : all complaints of severity "error", in order of place
    """
    count = f"{len(complaints)} faults" if len(complaints) != 1 else "1 fault"
    faults = tuple(complaint.error for complaint in complaints)
    return ManyFaultsError(faults, f"{folder}: the catalogue cannot be used, {count}")
