"""Lengths of the workshop: engagement on a nipple, the step of a cut, rounding up."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from hoseselect.domain.job import Nipple
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit, limit_source, table
from hoseselect.mechanics.bends import with_slack
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

HAIR = 1e-6
STATED = "as stated"


def engagement(nipple: Nipple) -> tuple[float, str]:
    """Return how far the hose goes over a nipple [mm], and where the figure comes from.

    Where it is not told how long the nipple is, it is as long as it may be: a hose that is cut for
    it is shortened, one that is cut too short is lost.
    """
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


def least_engagement(nipple: Nipple) -> float:
    """Return how far the hose goes over a nipple at least [mm].

    A nipple of unknown length is as short here as the rules take it where they judge it.
    """
    most, _ = engagement(nipple)
    if not math.isnan(np.fmin(nipple.engagement, nipple.usable_length)):
        return most
    return float(np.minimum(most, _shortest_nipple()))


@cache
def _shortest_nipple() -> float:
    return table("questions").row(input=LENGTH_ASKED).number("adverse")


LENGTH_ASKED = "nipple_a.usable_length"


def workshop_step(units: str) -> float:
    """Return the step to which a cut is rounded up [mm]."""
    if units == "in":
        return limit("workshop-step-inch") * MILLIMETRES_PER_INCH
    return limit("workshop-step")


def on_tape(length: float, units: str) -> float:
    """Return a length as it can be read on a tape, never further off than half a millimetre [mm].

    Parameters
    ----------
    length : in whole millimetres, or not known [mm]
    units : "mm" or "in": in inches the coarsest fraction that is near enough
    """
    if units != "in" or math.isnan(length):
        return length
    inches = length / MILLIMETRES_PER_INCH
    marks = (round(inches * parts) / parts * MILLIMETRES_PER_INCH for parts in FRACTIONS)
    return next(mark for mark in marks if abs(mark - length) <= FINE_STEP / 2)


FINE_STEP = 1.0
FRACTIONS = (4, 8, 16, 32)  # of an inch; the finest is never further off than 0.4 mm


def round_up(length: Array, step: float) -> Array:
    """Return lengths rounded up to the workshop step, never down [mm]; NaN stays NaN."""
    rounded: Array = np.ceil(length / step - HAIR) * step
    return rounded


def cut_to(total: Array, longest: Array, step: float) -> Array:
    """Return lengths rounded up to a step, or to the millimetre where the step leaves the window.

    Parameters
    ----------
    total, longest : what is needed and what published slack allows [mm]
    step : of the workshop [mm]
    """
    cut = round_up(total, step)
    return np.where(cut > longest, round_up(total, FINE_STEP), cut)


def longest_length(tip: Array, over_a: Array, over_b: Array, moved: Array) -> Array:
    """Return the longest cut that published slack allows, a share of the free length [mm].

    Parameters
    ----------
    tip, over_a, over_b, moved : parts of the cut [mm]
    """
    return with_slack(tip + moved, limit("slack-max-share")) + over_a + over_b


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
