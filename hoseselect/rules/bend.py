"""Bend rules: tightest radius on the route, straight lead at the nipples."""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.rules.columns import HoseColumns, JobColumns
from hoseselect.rules.comparison import Comparison
from hoseselect.rules.registry import rule


@rule("tightest_radius")
def bend_radius(jobs: JobColumns, hoses: HoseColumns) -> Comparison:
    """Tightest bend of the route against the least bend radius.

    What it checks
        The centreline radius of the tightest bend against the hose's least bend radius at that
        bore. Where none is stated, the kink radius of a thin tube and the usual rule of thumb give
        a range: above it conditional, below it refused, between unknown.
    Why it matters
        A kinked hose is a closed hose, and it kinks hot, under suction, where nobody looks.
    Example
        Bend of 70 mm with hose for 80 mm: refused, formed part or elbow.
    Source
        The hose's stated radius, else Brazier, Proc. R. Soc. A 116 (1927), from memory, and
        common practice.
    """
    sizes = hoses.sizes
    estimated = np.isnan(sizes.least_bend_radius)
    return Comparison(
        jobs.tightest_radius,
        np.where(estimated, sizes.kink_least, sizes.least_bend_radius)[None, :],
        sense="at_least",
        caution=np.where(estimated, sizes.kink_sure, sizes.least_bend_radius)[None, :],
        estimated=estimated[None, :],
    )


@rule("lead")
def bend_lead(jobs: JobColumns, hoses: HoseColumns) -> Comparison:
    """Straight lead between the nipple and the first bend.

    What it checks
        The shorter straight at the two ends of a run against a multiple of the outside diameter.
        It counts where the route is given as straights and bends.
    Why it matters
        A bend that begins at the nipple levers the hose open on one side and weeps there.
    Example
        Bend 20 mm from the nipple with hose of 21 mm outside diameter: conditional.
    Source
        DIN 20066 and ISO/TR 17165-2, from memory.
    """
    need = limit("lead-per-outside-diameter") * hoses.sizes.outside_diameter[None, :]
    return Comparison(
        jobs.lead,
        np.full_like(need, -np.inf),
        sense="at_least",
        caution=need,
        applies=~np.isnan(jobs.lead),
    )
