"""A nipple from what is told of it, checked as a whole."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hoseselect.domain.job import Nipple
from hoseselect.intake.faults import complaint


def nipple_of(told: Mapping[str, Any]) -> Nipple:
    """Return a nipple; a bead diameter says that there is a bead.

    Parameters
    ----------
    told : what is told of it, by key

    Raises
    ------
    PydanticCustomError
        when keys contradict one another.
    """
    nipple = Nipple(**told)
    plain, bead = nipple.outside_diameter, nipple.bead_diameter
    bead_told = not math.isnan(bead)
    if plain == 0:
        raise complaint("a nipple of 0 mm", "its outside diameter", "outside_diameter")
    if bead <= plain:
        raise complaint(
            f"bead_diameter {bead:g} not above outside_diameter {plain:g}",
            "the nipple on the plain part and the bead on the bump: which is which?",
            "bead_diameter",
            "outside_diameter",
        )
    if nipple.measured_on == "bead" and nipple.bead == "no":
        raise complaint(
            "measured_on = bead together with bead = no", "one of them", "measured_on", "bead"
        )
    if nipple.measured_on == "bead" and bead_told:
        raise complaint(
            "measured_on = bead beside bead_diameter",
            "outside_diameter of the plain part with bead_diameter, or measured_on = bead without"
            " it",
            "measured_on",
            "bead_diameter",
        )
    if nipple.bead == "no" and bead_told:
        raise complaint(
            "bead = no together with bead_diameter", "one of them", "bead", "bead_diameter"
        )
    if nipple.engagement > nipple.usable_length:
        raise complaint(
            f"engagement {nipple.engagement:g} above usable_length {nipple.usable_length:g}",
            "at most that",
            "engagement",
            "usable_length",
        )
    beaded = bead_told or nipple.measured_on == "bead"
    return replace(nipple, bead="yes") if beaded and nipple.bead != "yes" else nipple
