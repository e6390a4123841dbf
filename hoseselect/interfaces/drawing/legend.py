"""What the lines and marks of a route drawing mean, in words."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hatch import hatch
from hoseselect.interfaces.drawing.hose_sketch import CENTRE, EXTREME, METAL, OTHER, OUTLINE, known
from hoseselect.interfaces.drawing.obstacle_sketch import ZONE
from hoseselect.interfaces.drawing.spots import has_tightest, low_mark, moved, tightest_mark
from hoseselect.interfaces.drawing.svg import SMALL, closed_path, element, group, line, path, text

ROW = 4.8
SIGN = 11.0
"""Width of the signs [mm]."""
Entry = tuple[str, str, str]


def legend(geometry: RouteGeometry, x: float, y: float) -> str:
    """Return the signs that a drawing uses, each with its meaning.

    Parameters
    ----------
    geometry : the route drawn
    x, y : left end and upper edge [mm]
    """
    rows = [
        group(
            sign,
            text(words, SIGN + 2.0, 1.0),
            class_="legend-entry",
            id=f"legend-{name}",
            transform=f"translate({x:.3f} {y + (k + 0.5) * ROW:.3f})",
        )
        for k, (name, sign, words) in enumerate(_entries(geometry))
    ]
    return group(*rows, id="legend")


def _entries(geometry: RouteGeometry) -> list[Entry]:
    """Id, sign round (0, 0) to (SIGN, 0), and words of each sign in use."""
    entries: list[Entry] = []
    if known(geometry.outside_diameter):
        entries.append(("hose", _hose(), "hose and its centreline"))
    else:
        entries.append(("hose", _level(**CENTRE), "centreline; hose size not known"))
    entries.append(("nipple", _nipple(), "nipple A, B and its mouth"))
    if has_tightest(geometry):
        spot = tightest_mark(SIGN / 2 - (2.2 if moved(geometry) else 0.0), 0.0)
        words = "tightest, R of centreline"
        if moved(geometry):
            spot += tightest_mark(SIGN / 2 + 2.2, 0.0, moved=True)
            words = "tightest at rest, moved"
        entries.append(("tightest", spot, words))
    if geometry.extremes:
        plus = "".join(
            line((SIGN - a - 1, -b), (SIGN + a - 1, b), stroke="black", stroke_width="0.22")
            for a, b in ((0.8, 0.0), (0.0, 0.8))
        )
        sign = path(np.array([[0.0, 0.0], [SIGN - 3.0, 0.0]]), **EXTREME) + plus
        entries.append(("extreme", sign, "extremes of movement"))
    if geometry.others:
        entries.append(("other", _level(**OTHER), "can also lie like this"))
    if any(not o.hot for o in geometry.obstacles):
        entries.append(("keep-out", _box(hot=False), "keep clear of this"))
    if any(o.hot for o in geometry.obstacles):
        entries.append(("hot", _box(hot=True), "hot: keep well clear"))
    if geometry.obstacles:
        entries.append(("clearance", _level(**ZONE), "clearance wanted round it"))
    if geometry.low_point is not None:
        entries.append(("low", low_mark(SIGN / 2, 0.0), "low spot: liquid stands there"))
    if len(np.asarray(geometry.clips).reshape(-1, 3)):
        clip = element("rect", x=SIGN / 2 - 1.0, y=-1.6, width=2.0, height=3.2)
        entries.append(("clip", clip, "clip"))
    return entries


def _level(**attributes: str | float) -> str:
    return path(np.array([[0.0, 0.0], [SIGN, 0.0]]), **attributes)


def _hose() -> str:
    edges = "".join(
        line((0.0, y), (SIGN, y), stroke="black", stroke_width=str(OUTLINE)) for y in (-1.4, 1.4)
    )
    return edges + _level(**CENTRE)


def _nipple() -> str:
    body = element(
        "rect", x=1.0, y=-1.1, width=SIGN - 3.0, height=2.2, fill=METAL, stroke="black",
        stroke_width=OUTLINE,
    )  # fmt: skip
    return body + element("circle", cx=SIGN - 2.0, cy=0.0, r=0.6)


def _box(*, hot: bool) -> str:
    room = (1.0, -1.6, SIGN - 1.0, 1.6)
    left, top, right, bottom = room
    edge = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    outline = closed_path(edge, fill="none", stroke="black", stroke_width=0.35)
    return hatch(edge, room, hot=hot) + outline


def height(geometry: RouteGeometry) -> float:
    """Return how high the legend of a drawing is [mm]."""
    return ROW * len(_entries(geometry)) + SMALL
