"""How a hose sits on a nipple: stretch, and how thick it then is."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known

PERCENT = 100.0


def stretch(nipple: Numbers, bore: Numbers) -> Floats:
    """How far a bore is stretched round a nipple, in per cent of the bore.

    Parameters
    ----------
    nipple : outside diameter of the nipple, or of its bead [mm]
    bore : inside diameter of the hose [mm]

    Returns
    -------
    stretch, negative where the hose is loose [%]; NaN where a diameter is not above zero
    """
    outer, inner = floats(nipple, bore)
    possible = (outer > 0) & (inner > 0)
    share: Floats = PERCENT * (outer / np.where(possible, inner, np.nan) - 1)
    return share


def outside_diameter_on_nipple(outside_diameter: Numbers, bore: Numbers, nipple: Numbers) -> Floats:
    """Outside diameter of a hose pushed on a nipple; the clamp must hold this size.

    Rubber keeps its volume and the hose is taken not to shorten: the area of its wall stays.
    For a loose hose it is the size once the clamp has closed it on the nipple.

    Parameters
    ----------
    outside_diameter : outside diameter of the free hose [mm]
    bore : inside diameter of the free hose [mm]
    nipple : outside diameter of the nipple [mm]

    Returns
    -------
    outside diameter [mm]; NaN where the outside diameter is not above the bore or a diameter
    is not above zero
    """
    outer, inner, inside = floats(outside_diameter, bore, nipple)
    possible = (inner > 0) & (outer > inner) & (inside > 0)
    area = where_known(possible, outer**2 + inside**2 - inner**2)
    grown: Floats = np.sqrt(area)
    return grown
