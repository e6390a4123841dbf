"""What `catalog new`, `check` and `import` found, on the terminal."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

from hoseselect.answer.coverage import ServiceCoverage
from hoseselect.application.check_catalogue import CatalogueCheck
from hoseselect.application.import_catalogue import CatalogueImport
from hoseselect.application.new_catalogue import NewCatalogue
from hoseselect.catalogue.complaint import Complaint
from hoseselect.interfaces.cli.common import Screen
from hoseselect.interfaces.cli.table import table_lines

NAMED_TYPES = 3


def counted(number: int, word: str) -> str:
    """Return a number with its word.

    Examples
    --------
    >>> counted(1, "error"), counted(2, "error")
    ('1 error', '2 errors')
    """
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def show_new(made: NewCatalogue) -> None:
    """Show what was written."""
    screen = Screen()
    screen.line(f"Written: {made.folder}")
    for file, rows in made.rows.items():
        screen.item(f"{file}: {counted(rows, 'row')}")
    screen.item("Fill in the rows, then look at it with `hoseselect catalog check`.", 0)


def show_check(check: CatalogueCheck) -> None:
    """Show complaints, then coverage."""
    screen = Screen()
    screen.line(
        f"{check.folder}: {counted(check.types, 'hose type')}, {counted(check.sizes, 'hose size')};"
        f" {counted(len(check.errors), 'error')}, {counted(len(check.warnings), 'warning')}",
        bold=True,
    )
    for title, complaints in (("Errors", check.errors), ("Warnings", check.warnings)):
        if complaints:
            screen.heading(title)
            for complaint in complaints:
                screen.line(f"  {complaint.sentence}")
    if check.errors:
        screen.line("")
        screen.item("The catalogue cannot be used; coverage is told once the errors are mended.", 0)
    else:
        show_coverage(screen, check.coverage)


def show_coverage(screen: Screen, coverage: Sequence[ServiceCoverage]) -> None:
    """Show which services have a hose."""
    covered = [service for service in coverage if service.covered]
    screen.heading(f"Services covered: {len(covered)} of {len(coverage)}")
    screen.item("Each size on nipples of its own bore, duty and fluids at their adverse end.")
    screen.line("")
    rows: list[dict[str, Any]] = [
        {
            "service": service.service,
            "accept": service.accepted,
            "conditional": service.conditional,
            "bores_mm": f"{service.bore_min:g} to {service.bore_max:g}",
            "hose_types": _named(service.hose_types),
        }
        for service in covered
    ]
    for line in table_lines(rows, screen.width):
        screen.line(line)
    missing = [service for service in coverage if not service.covered]
    if missing:
        screen.heading("Services without a hose")
        screen.line("")
        rows = [
            {"service": service.service, "most sizes fail on": service.lacking or "no hose size"}
            for service in missing
        ]
        for line in table_lines(rows, screen.width):
            screen.line(line)
        screen.item("`hoseselect explain` says what each rule asks for.")


def _named(types: tuple[str, ...]) -> str:
    more = len(types) - NAMED_TYPES
    return ", ".join(types[:NAMED_TYPES]) + (f" and {more} more" if more > 0 else "")


def show_import(result: CatalogueImport) -> None:
    """Show what was brought in on stdout, what could not be mapped on stderr."""
    write_complaints(result.complaints)
    screen = Screen()
    if not result.written:
        sys.stderr.write(
            f"{result.folder}: nothing was written, {counted(len(result.errors), 'error')}\n"
        )
        return
    screen.line(f"{'Made' if result.made else 'Changed'}: {result.folder}", bold=True)
    for file, added in result.added.items():
        replaced = result.replaced.get(file, 0)
        if added or replaced:
            screen.item(f"{file}: {counted(added, 'row')} added, {replaced} replaced")
    if result.left_out:
        screen.item(f"Left out for their errors: {counted(len(result.left_out), 'line')}", 0)
    if result.warnings:
        screen.item(f"{counted(len(result.warnings), 'warning')} on the sheet", 0)


def write_complaints(complaints: Sequence[Complaint]) -> None:
    """Write complaints to stderr, one a line, the severity first."""
    for complaint in complaints:
        sys.stderr.write(f"{complaint.severity}: {complaint.sentence}\n")
