"""The roomiest way along a route that is no wide loop."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.profile import Mask, Profile

PARTS = 201
TINY = 1e-12


def roomiest(profile: Profile) -> tuple[float, float]:
    """Largest tightest radius within the practical length, and its length [mm], [mm].

    Wide loops are left out: no cut is offered there.

    Parameters
    ----------
    profile : of the route
    """
    table = profile.table
    usable = (table.length <= profile.practical * (1 + TINY)) & ~_loops(
        profile, table.length, table.radius
    )
    best = int(np.where(usable, table.radius, -1.0).argmax())
    radius, length = float(table.radius[best]), float(table.length[best])
    if best + 1 == len(usable) or usable[best + 1] or not np.isfinite(radius):
        return radius, length
    # the radius still grows where the loops begin: read off how far it gets
    parts = np.linspace(0.0, 1.0, PARTS)
    piece = table.pieces(np.array([best]))
    lengths, radii = length + parts * piece.width, piece.value(parts)
    kept = ~_loops(profile, lengths, radii) & (lengths <= profile.practical)
    kept[0] = True
    most = int(np.where(kept, radii, -1.0).argmax())
    return float(radii[most]), float(lengths[most])


def _loops(profile: Profile, length: Array, radius: Array) -> Mask:
    """Return which lengths of given tightest radius are wide loops, (n,)."""
    return profile.wide_loops(length, profile.bound(np.maximum(radius, TINY)))
