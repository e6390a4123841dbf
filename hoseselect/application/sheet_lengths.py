"""Lengths of many lines at once, as the cut plan works them out for one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoseselect.cutplan.lengths import HAIR, HAIR_OF_INCH, workshop_step
from hoseselect.cutplan.plan_cut import FINE_STEP
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit


@dataclass(frozen=True, eq=False)
class Lengths:
    """Lengths of lines that are known before the hose is, each of shape (n,), NaN not known.

    Parameters
    ----------
    bare : tip to tip with both engagements [mm]
    cut : the length to cut [mm]
    longest : the longest that works if the ends stand still [mm]
    """

    bare: Array
    cut: Array
    longest: Array


def lengths(
    tip: Array, a: Mapping[str, Array], b: Mapping[str, Array], moved: Array, units: str
) -> Lengths:
    """Return the lengths of lines, as `job_lengths` does for one job.

    Parameters
    ----------
    tip : nipple mouth to nipple mouth, shape (n,) [mm]
    a, b : outside_diameter, usable_length and engagement of the nipples, each (n,) [mm]
    moved : relative movement of the ends, NaN not known, shape (n,) [mm]
    units : "mm" or "in": the workshop step
    """
    over_a, over_b = engagements(a), engagements(b)
    moved = np.where(np.isnan(moved), limit("movement-unknown"), moved)
    bare = tip + over_a + over_b
    total = bare + moved
    share = 1 - limit("slack-max-share")
    cut = rounded_up(total, workshop_step(units))
    cut = np.where(cut > (tip + moved) / share + over_a + over_b, rounded_up(total, FINE_STEP), cut)
    still = tip / share + over_a + over_b
    return Lengths(bare, cut, np.maximum(cut - moved / share, still))


def engagements(nipple: Mapping[str, Array]) -> Array:
    """Return how far the hose goes over each nipple, shape (n,) [mm], NaN not known."""
    outside, usable = nipple["outside_diameter"], nipple["usable_length"]
    small = outside <= limit("engagement-small-bore") + HAIR_OF_INCH
    usual = np.where(small, limit("engagement-small"), limit("engagement-large"))
    found = np.where(np.isnan(outside), np.nan, usual)
    found = np.where(usable < usual, usable, found)
    return np.where(np.isnan(nipple["engagement"]), found, nipple["engagement"])


def rounded_up(length: Array, step: float) -> Array:
    """Return lengths rounded up to the workshop step, never down [mm]."""
    rounded: Array = np.ceil(length / step - HAIR) * step
    return rounded
