"""A doubt about a column: where it fails, and the words for a row."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from hoseselect.catalogue.cells import Cells
from hoseselect.catalogue.columns import FloatArray
from hoseselect.catalogue.complaint import Complaint, Severity

Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Doubt:
    """Where one check fails: rows, and the words for a row."""

    rows: Mask
    severity: Severity
    heading: str
    found: Callable[[int], str]
    expected: Callable[[int], str]

    def complaints(self, cells: Cells) -> Iterator[Complaint]:
        """Yield one complaint for each row."""
        for row in map(int, np.flatnonzero(self.rows)):
            yield cells.complaint(
                self.severity, row, self.heading, self.found(row), self.expected(row)
            )


def above(
    high: FloatArray, low: FloatArray, heading: str, unit: str, other: str, *, same: bool = True
) -> Doubt:
    """Return the doubt that `high` stands above (or, unless `same`, at) its limit `low`."""
    rows = high > low if same else high >= low
    word = "at most" if same else "less than"
    return Doubt(
        rows,
        "error",
        heading,
        lambda row: f"{high[row]:g} {unit}",
        lambda row: f"{word} the {other} {low[row]:g} {unit}",
    )


def below(value: FloatArray, limit: float, heading: str, unit: str, suspicion: str) -> Doubt:
    """Return the warning that a number lies so low that its unit is doubted."""
    return Doubt(
        value < limit,
        "warning",
        heading,
        lambda row: f"{value[row]:g} {unit}",
        lambda _: f"a number in {unit} ({suspicion}?)",
    )
