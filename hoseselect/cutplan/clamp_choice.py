"""Clamps for a hose on a nipple: family, size, number, place, torque, and which will not do."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import clamp_suits, soft_cover
from hoseselect.domain.cut import ClampChoice
from hoseselect.domain.job import Nipple
from hoseselect.judging.job_columns import usable
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import Row, limit, table
from hoseselect.mechanics.fit import outside_diameter_on_nipple
from hoseselect.rules.clamp_bands import closes_on

SHOWN = 2
BEHIND_BEAD = "behind the bead, fully over the nipple, {tail:g} mm of hose beyond the band"
ON_PLAIN = "fully over the nipple, {tail:g} mm of hose beyond the band"


def clamp_choices(
    catalogue: Catalogue, size: int, nipple: Nipple, service: str
) -> tuple[ClampChoice, ...]:
    """Return clamps that suit the service and close on the hose on its nipple, best first.

    Parameters
    ----------
    catalogue : of the shop
    size : position of the hose size
    nipple : with its outside diameter
    service : id; a control line that is pushed on has no clamp
    """
    columns = service_columns()
    index = columns.index[service]
    if not columns.clamped[index]:
        return ()
    group = columns.group[index]
    clamps, sizes = catalogue.clamps, catalogue.sizes
    diameter = float(
        outside_diameter_on_nipple(
            sizes.outside_diameter[size], sizes.bore[size], nipple.outside_diameter
        )
    )
    soft = soft_cover(catalogue.types.cover[int(sizes.type_index[size])])
    suits = np.array(
        [clamp_suits(str(family), group, soft=soft) for family in clamps.family], dtype=bool
    )
    holds = closes_on(np.array(diameter), clamps.range_min, clamps.range_max)
    off_centre = np.abs((clamps.range_min + clamps.range_max) / 2 - diameter)
    chosen = sorted(
        np.flatnonzero(suits & holds),
        key=lambda k: (
            _groups(str(clamps.family[k])),
            off_centre[k],
            str(clamps.clamp[k]),
        ),
    )
    families: dict[str, ClampChoice] = {}
    for k in chosen:
        family = str(clamps.family[k])
        if family not in families and _fits(nipple, clamps.band_width[k]):
            families[family] = _choice(
                catalogue, int(k), diameter, nipple, int(columns.clamps_per_end[index])
            )
    return tuple(families.values())[:SHOWN]


def _groups(family: str) -> int:
    """Return how many groups of services a family of clamps suits: fewer are made for them."""
    return len(str(table("clamp_families").row(family=family)["suits"]).split(";"))


def _fits(nipple: Nipple, band_width: float) -> bool:
    """Return whether band and tail have room on the nipple; unknown room is looked at by hand."""
    room = usable(nipple)
    return not room < band_width + limit("tail-beyond-band")


def _choice(
    catalogue: Catalogue, k: int, diameter: float, nipple: Nipple, number: int
) -> ClampChoice:
    clamps = catalogue.clamps
    family, band = str(clamps.family[k]), float(clamps.band_width[k])
    torque = _torque(family, band, float(clamps.range_max[k]))
    position = (BEHIND_BEAD if nipple.bead == "yes" else ON_PLAIN).format(
        tail=limit("tail-beyond-band")
    )
    return ClampChoice(
        clamp=str(clamps.clamp[k]),
        family=family,
        number=number,
        range_min=float(clamps.range_min[k]),
        range_max=float(clamps.range_max[k]),
        hose_diameter=diameter,
        position=position,
        torque_new=math.nan if torque is None else torque.number("torque_new_nm"),
        torque_again=math.nan if torque is None else torque.number("torque_again_nm"),
        source="no published torque for this clamp" if torque is None else torque.source,
    )


def _torque(family: str, band_width: float, largest: float) -> Row | None:
    """Return the published torque for a band of this width, or None where none is published."""
    rows = [
        row
        for row in table("clamp_torques").where(family=family)
        if not abs(row.number("band_width_mm") - band_width) > BAND_WIDTH_SLACK
        and not row.number("clamp_up_to_mm") < largest
    ]
    return rows[0] if rows else None


BAND_WIDTH_SLACK = 1.0


def clamps_refused(
    catalogue: Catalogue, size: int | None, service: str
) -> tuple[tuple[str, str], ...]:
    """Return the clamp families of the shop that must not be used, each with the reason."""
    columns = service_columns()
    index = columns.index[service]
    group = columns.group[index]
    if not columns.clamped[index]:
        return ()
    soft = size is not None and soft_cover(
        catalogue.types.cover[int(catalogue.sizes.type_index[size])]
    )
    refused = []
    for family in sorted({str(name) for name in catalogue.clamps.family}):
        if not clamp_suits(family, group, soft=False):
            refused.append((family, f"not for {group} lines"))
        elif soft and not clamp_suits(family, group, soft=True):
            refused.append((family, "it cuts a soft cover"))
    return tuple(refused)
