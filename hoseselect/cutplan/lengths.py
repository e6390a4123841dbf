"""Lengths of the workshop: engagement on a nipple, the step of a cut, rounding up."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.job import Nipple
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit, limit_source
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

HAIR = 1e-6
STATED = "as stated"


def engagement(nipple: Nipple) -> tuple[float, str]:
    """Return how far the hose goes over a nipple [mm], and where the figure comes from."""
    if not math.isnan(nipple.engagement):
        return nipple.engagement, STATED
    small = nipple.outside_diameter <= limit("engagement-small-bore") + HAIR_OF_INCH
    name = "engagement-small" if small else "engagement-large"
    usual = limit(name)
    if nipple.usable_length < usual:
        return nipple.usable_length, "usable length as stated"
    if math.isnan(nipple.outside_diameter):
        return math.nan, "nipple not measured"
    return usual, limit_source(name)


HAIR_OF_INCH = 0.05  # 3/4 in is 19.05 mm and counts as 19


def workshop_step(units: str) -> float:
    """Return the step to which a cut is rounded up [mm]."""
    if units == "in":
        return limit("workshop-step-inch") * MILLIMETRES_PER_INCH
    return limit("workshop-step")


def round_up(length: Array, step: float) -> Array:
    """Return lengths rounded up to the workshop step, never down [mm]; NaN stays NaN."""
    rounded: Array = np.ceil(length / step - HAIR) * step
    return rounded


def length_words(value: float, units: str) -> str:
    """Return a length with its unit for a sentence.

    Parameters
    ----------
    value : [mm]
    units : "mm" or "in"
    """
    if units == "in":
        return f"{value / MILLIMETRES_PER_INCH:.3g} in"
    return f"{value:.0f} mm"
