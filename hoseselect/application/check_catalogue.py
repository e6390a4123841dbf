"""Everything that is wrong or suspicious in a catalogue folder, and which services it covers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from hoseselect.answer.coverage import ServiceCoverage, coverage
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.descriptor_doubts import descriptor_doubts
from hoseselect.catalogue.read import examine

UNUSABLE = 2


@dataclass(frozen=True)
class CatalogueCheck:
    """What a check of a catalogue folder found.

    Parameters
    ----------
    folder : the folder
    complaints : errors and warnings, in order of file, line and column
    types, sizes : how many hose types and sizes it holds
    coverage : one entry a service; empty where an error forbids the question
    """

    folder: Path
    complaints: tuple[Complaint, ...]
    types: int
    sizes: int
    coverage: tuple[ServiceCoverage, ...]

    @property
    def errors(self) -> tuple[Complaint, ...]:
        """What forbids the use of the catalogue."""
        return tuple(c for c in self.complaints if c.severity == "error")

    @property
    def warnings(self) -> tuple[Complaint, ...]:
        """What is suspicious."""
        return tuple(c for c in self.complaints if c.severity == "warning")

    @property
    def exit_code(self) -> int:
        """2 where the catalogue cannot be used, else 0."""
        return UNUSABLE if self.errors else 0

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {
            "folder": str(self.folder),
            "usable": not self.errors,
            "hose_types": self.types,
            "hose_sizes": self.sizes,
            "errors": len(self.errors),
            "warnings": len(self.warnings),
            "complaints": [complaint_json(c) for c in self.complaints],
            "coverage": [service.as_json() for service in self.coverage],
        }


def complaint_json(complaint: Complaint) -> dict[str, Any]:
    """Return a complaint for JSON; line or column 0 (the whole of it) is null."""
    return {
        "severity": complaint.severity,
        "file": complaint.file,
        "line": complaint.line or None,
        "column": complaint.column or None,
        "heading": complaint.heading or None,
        "found": complaint.found,
        "expected": complaint.expected,
    }


def check_catalogue(folder: Path, today: date | None = None) -> CatalogueCheck:
    """Return all that is wrong or odd in a catalogue folder, and what it covers.

    Parameters
    ----------
    folder : folder with hose_types.csv, hose_sizes.csv and, where kept, the other files
    today : to which the age of rolls is counted; None = nothing is said of their age

    Raises
    ------
    KnowledgeError
        when a published table of allowed words is damaged.
    """
    catalogue, complaints = examine(folder, prints=True, today=today)
    complaints = sorted([*complaints, *descriptor_doubts(folder)], key=lambda one: one.order)
    usable = all(complaint.severity != "error" for complaint in complaints)
    return CatalogueCheck(
        folder=folder,
        complaints=tuple(complaints),
        types=len(catalogue.types),
        sizes=len(catalogue.sizes),
        coverage=coverage(catalogue) if usable else (),
    )
