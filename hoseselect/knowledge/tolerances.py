"""Published sizes and tolerances: a value goes in, the class it falls in gives the figure.

Classes are read as "over - up to": the upper end belongs to the class. A value that no class
holds, and an unknown value (NaN), give NaN.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import Row, table

Floats = npt.NDArray[np.float64]
Numbers = npt.ArrayLike

PERCENT = 100.0


def _in_class(rows: list[Row], over: str, up_to: str, values: Numbers) -> npt.NDArray[np.intp]:
    """Return the place of the row whose class holds each value; one past the end if none does."""
    numbers = np.asarray(values, dtype=np.float64)
    found = np.full(numbers.shape, len(rows), dtype=np.intp)
    for place, row in enumerate(rows):
        lowest = row.number(over)
        highest = row.number(up_to)
        above = numbers > (0.0 if np.isnan(lowest) else lowest)
        found[above & ((numbers <= highest) | np.isnan(highest))] = place
    return found


def _figures(rows: list[Row], heading: str, places: npt.NDArray[np.intp]) -> Floats:
    """Return a column's figure at each place, NaN one past the end."""
    figures = np.array([*(row.number(heading) for row in rows), np.nan])
    picked: Floats = figures[places]
    return picked


def cut_length_tables() -> tuple[str, ...]:
    """Return the names of the published tables of cut-length tolerance."""
    return tuple(dict.fromkeys(table("cut_length_tolerances").column("table")))


def cut_length_tolerance(length: Numbers, name: str) -> Floats:
    """Return the tolerance of a hose cut to length, plus or minus.

    Parameters
    ----------
    length : cut length, above zero [mm]
    name : name of the published table

    Returns
    -------
    tolerance [mm]

    Raises
    ------
    KnowledgeError : there is no table of that name
    """
    rows = table("cut_length_tolerances").where(table=name)
    if not rows:
        known = ", ".join(cut_length_tables())
        raise KnowledgeError("cut_length_tolerances.csv:table", f"'{name}'", f"one of {known}")
    places = _in_class(rows, "over_mm", "up_to_mm", length)
    fixed = _figures(rows, "tolerance_mm", places)
    share = _figures(rows, "tolerance_percent", places) / PERCENT
    tolerance: Floats = np.where(np.isnan(fixed), share * np.asarray(length), fixed)
    return tolerance


def squareness(bore: Numbers) -> Floats:
    """Return how far the cut end of a hose may be out of square.

    Parameters
    ----------
    bore : inside diameter, above zero [mm]

    Returns
    -------
    largest error [mm]
    """
    rows = list(table("squareness"))
    return _figures(rows, "squareness_mm", _in_class(rows, "bore_over_mm", "bore_up_to_mm", bore))


def loose_fit_limit(nipple: Numbers) -> Floats:
    """Return by how much a bore may exceed the outside diameter of its nipple.

    Source: 33 CFR 183.558(d), Table 8 (boat fuel hose).

    Parameters
    ----------
    nipple : outside diameter of the nipple, above zero [mm]

    Returns
    -------
    excess [mm]
    """
    rows = list(table("loose_fit"))
    places = _in_class(rows, "nipple_over_mm", "nipple_up_to_mm", nipple)
    return _figures(rows, "excess_bore_mm", places)
