"""Sheets of known size that lie beside a hose in a photo."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.mechanics.arrays import Floats


@dataclass(frozen=True)
class Sheet:
    """A sheet or card of a published size.

    Parameters
    ----------
    kind : "a4", "letter" or "card"
    name : as people call it
    length, width : of its long and its short side [mm]
    tolerance : most by which a side may differ [mm]
    """

    kind: str
    name: str
    length: float
    width: float
    tolerance: float

    def corners(self, off: Floats | None = None) -> Floats:
        """Return its corners in its own plane, clockwise as seen, shape (..., 4, 2) [mm].

        The middle is the origin, x runs along the long side; the first side is a long one.

        Parameters
        ----------
        off : by which length and width differ from the size, shape (..., 2) [mm]
        """
        size = np.array([self.length, self.width]) + (0.0 if off is None else off)
        signs = np.array([[-1.0, 1.0], [1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]])
        corners: Floats = signs * size[..., None, :] / 2
        return corners


def sheet_kinds() -> tuple[str, ...]:
    """Return the kinds of sheet of which a size is known."""
    return tuple(table("sheet_sizes").column("sheet"))


def sheet_of(kind: str) -> Sheet:
    """Return the sheet of a kind.

    Raises
    ------
    InputError
        when there is no such kind.
    """
    if kind not in sheet_kinds():
        known = sheet_kinds()
        raise InputError("sheet", f"'{kind}'", ", ".join(known[:-1]) + f" or {known[-1]}")
    row = table("sheet_sizes").row(sheet=kind)
    sizes = [row.number(heading) for heading in ("length_mm", "width_mm", "tolerance_mm")]
    return Sheet(kind, row["name"], *sizes)
