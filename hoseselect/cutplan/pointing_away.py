"""A nipple that points away from where the hose goes: seldom meant, and a long loop where it is."""

from __future__ import annotations

import itertools
import math

import numpy as np

from hoseselect.domain.free_route import FreeRoute
from hoseselect.knowledge.load import limit


def away_notes(route: FreeRoute, length: float) -> list[str]:
    """Return what is to be said of nipples that point away from the other one, or the next clip.

    Parameters
    ----------
    route : as described
    length : of the hose from mouth to mouth [mm]
    """
    places = [(0.0, 0.0, 0.0), *(clip.place for clip in route.clips), route.mouth_b]
    straight = sum(math.dist(a, b) for a, b in itertools.pairwise(places))
    share = length / straight
    if not share > limit("loop-share"):
        return []
    notes = []
    for name, points, here, there in (
        ("A", route.points_a, places[0], places[1]),
        ("B", route.points_b, places[-1], places[-2]),
    ):
        cosine = float(np.dot(points, np.subtract(there, here))) / math.dist(here, there)
        angle = math.degrees(math.acos(min(1.0, max(-1.0, cosine))))
        if angle > limit("points-away-angle"):
            other = "the next clip" if route.clips else f"nipple {'B' if name == 'A' else 'A'}"
            notes.append(
                f"Nipple {name} points away from {other} ({angle:.0f} deg), so that the hose loops"
                f" {share:.1f} times the distance: look again where it points; told is the way out"
                " of the nipple, not into it."
            )
    return notes
