"""Points that somebody tapped in a photo."""

from __future__ import annotations

from dataclasses import dataclass, field

Taps = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class PhotoPoints:
    """Points of a picture, with its upper left corner as the origin, y down.

    Parameters
    ----------
    corners : of the sheet; in a pair of photos those of the base line first [px]
    hose : on the middle of the hose as seen, from one end to the other [px]
    edges : further points on the edges of the sheet [px]
    """

    corners: Taps = ()
    hose: Taps = ()
    edges: Taps = field(default=())
