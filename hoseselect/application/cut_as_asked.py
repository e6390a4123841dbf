"""A cut length as it was asked for in words: for a hose by its name, or for a radius."""

from __future__ import annotations

import math
from collections.abc import Callable

from hoseselect.application.cut import CutResult, cut_for_hose, cut_for_radius
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.length_words import without_radius
from hoseselect.quantities.read import read_quantity


def cut_as_asked(
    job: Job,
    catalogue: Callable[[], Catalogue],
    *,
    hose: str | None = None,
    radius: str | None = None,
    outside_diameter: str | None = None,
    units: str = "mm",
    drawn: bool = False,
) -> CutResult:
    """Return the cut plan for a job.

    Parameters
    ----------
    job : as described
    catalogue : gives what the shop sells, where it is needed
    hose : size of the catalogue; None = the radius counts
    radius : least bend radius, as typed; None = any
    outside_diameter : of the hose, as typed; None = that of the thickest hose that fits
    units : "mm" or "in"
    drawn : whether the hose is drawn, which takes its outside diameter

    Raises
    ------
    InputError
        when the hose is not known, or a part of the length is not.
    """
    if hose is not None:
        return cut_for_hose(hose, job, catalogue(), units)
    least = 0.0
    if radius is not None:
        typed = without_radius(radius)
        least = read_quantity(typed, "length", "--radius", minimum=0.0, dash_means="nothing")
        if least == 0:
            raise InputError("--radius", f"'{radius}'", 'a least bend radius such as "80 mm"')
    outside, shelf = math.nan, None
    if outside_diameter is not None:
        where = "--outside-diameter"
        outside = read_quantity(outside_diameter, "length", where, minimum=0.0)
    elif job.route.free is not None or drawn:
        shelf = catalogue()
    return cut_for_radius(least, job, units, outside, shelf)
