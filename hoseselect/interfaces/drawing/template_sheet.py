"""The paper of a template: tiles, overlap marks, rulers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.interfaces.drawing.svg import SMALL, element, group, line, text
from hoseselect.mechanics.arrays import Floats
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN, HEAD, FOOT = 10.0, 27.0, 24.0
"""Edge that printers leave white, room for the words above, for the rulers below [mm]."""
OVERLAP = 12.0
THIN = {"stroke": "black", "stroke_width": "0.2"}


@dataclass(frozen=True)
class Tiles:
    """How a drawing is laid over sheets.

    Parameters
    ----------
    paper : width and height of a sheet [mm]
    columns, rows : number of places for sheets across and down
    used : column and row of the sheets that show something, in their order
    """

    paper: tuple[float, float]
    columns: int
    rows: int
    used: tuple[tuple[int, int], ...] = ()

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the drawing on one sheet [mm]."""
        return self.paper[0] - 2 * MARGIN, self.paper[1] - 2 * MARGIN - HEAD - FOOT

    @property
    def sheets(self) -> int:
        """Number of sheets."""
        return len(self.used)

    @property
    def covered(self) -> tuple[float, float]:
        """Width and height of all sheets together [mm]."""
        wide, high = self.room
        return (
            self.columns * (wide - OVERLAP) + OVERLAP,
            self.rows * (high - OVERLAP) + OVERLAP,
        )

    def corner(self, column: int, row: int) -> Floats:
        """Place in the drawing of the upper left corner of a sheet's room, (2,) [mm]."""
        wide, high = self.room
        return np.array([column * (wide - OVERLAP), row * (high - OVERLAP)])


def tiles_for(size: Floats, points: Floats, around: float, paper: str) -> Tiles:
    """Return the sheets that hold a drawing; those that would stay blank are left out.

    Parameters
    ----------
    size : width and height of the drawing [mm]
    points : close points along what is drawn, (n, 2) [mm]
    around : how far the drawing reaches round them [mm]
    paper : "a4" or "letter"
    """
    room = Tiles(PAPERS[paper], 1, 1).room
    columns, rows = (
        max(1, math.ceil((float(need) - OVERLAP) / (wide - OVERLAP) - 1e-9))
        for need, wide in zip(size, room, strict=True)
    )
    tiles = Tiles(PAPERS[paper], columns, rows)
    inside = points + (np.array(tiles.covered) - size) / 2
    used = []
    for row in range(rows):
        for column in range(columns):
            low = tiles.corner(column, row) - around
            high = tiles.corner(column, row) + np.array(room) + around
            if np.any(np.all((inside >= low) & (inside <= high), axis=1)):
                used.append((column, row))
    return Tiles(PAPERS[paper], columns, rows, tuple(used))


def join_marks(tiles: Tiles, column: int, row: int) -> str:
    """Return the crosses by which a sheet is laid on its neighbours, and what joins where."""
    wide, high = tiles.room
    left, top = MARGIN, MARGIN + HEAD
    marks = []
    for across in (0, 1):
        for side in (0, 1):
            other = [column, row]
            other[across] += 1 if side else -1
            if (other[0], other[1]) in tiles.used:
                marks.append(_join(tiles, (column, row), across, side))
    frame = element(
        "rect", x=left, y=top, width=wide, height=high, fill="none", stroke_dasharray="3 1.5",
        **THIN,
    )  # fmt: skip
    return frame + "".join(marks)


def _join(tiles: Tiles, tile: tuple[int, int], across: int, side: int) -> str:
    """Two crosses in the overlap at one side, named alike on both sheets."""
    wide, high = tiles.room
    size = np.array([wide, high])
    corner = np.array([MARGIN, MARGIN + HEAD])
    position = OVERLAP / 2 if side == 0 else size[across] - OVERLAP / 2
    first = list(tile)
    first[across] += side - 1  # the sheet to the left of, or above, the seam
    seam = f"{'c' if across == 0 else 'r'}{first[0] + 1}-{first[1] + 1}"
    other = list(tile)
    other[across] += 1 if side == 1 else -1
    crosses = []
    for end, share in (("a", 0.12), ("b", 0.88)):
        spot = np.zeros(2)
        spot[across] = position
        spot[1 - across] = size[1 - across] * share
        crosses.append(_cross(corner + spot, f"join-{seam}-{end}"))
    spot = np.zeros(2)
    spot[across] = position
    spot[1 - across] = size[1 - across] / 2
    place = corner + spot
    number = tiles.used.index((other[0], other[1])) + 1
    words = f"cut on the dashed line, lay on sheet {number}, crosses together"
    turn = f"rotate(-90 {place[0]:.3f} {place[1]:.3f})" if across == 0 else ""
    note = on_white(words, place[0], place[1] + 1.0, text_anchor="middle", transform=turn,
                    class_="join-note")  # fmt: skip
    return group(*crosses, note, class_="join")


def _cross(spot: Floats, name: str) -> str:
    arms = "".join(
        line(spot - np.array(arm), spot + np.array(arm), **THIN) for arm in ((4.0, 0.0), (0.0, 4.0))
    )
    ring = element("circle", id=name, cx=spot[0], cy=spot[1], r=2.0, fill="none", **THIN)
    return group(arms, ring, class_="join-cross")


def rulers(tiles: Tiles) -> str:
    """Return a ruler of 100 mm and one of 4 in: they prove that the print is full size."""
    top = tiles.paper[1] - MARGIN - FOOT + 5.0
    metric = _ruler("ruler-mm", 100.0, 1.0, (5, 10), top, "100 mm")
    inches = _ruler(
        "ruler-in", 4 * MILLIMETRES_PER_INCH, MILLIMETRES_PER_INCH / 8, (4, 8), top + 11.0, "4 in"
    )
    at = MARGIN + 4 * MILLIMETRES_PER_INCH + 24.0
    words = (
        "Print at 100 %, not “fit to page”.",
        "Check both bars with a ruler: if",
        "one is out, do not use the sheet.",
    )
    said = "".join(text(w, at, top + 2.5 + 4.0 * k) for k, w in enumerate(words))
    return group(metric, inches, said, class_="rulers")


def _ruler(
    name: str, length: float, step: float, longer: tuple[int, int], y: float, words: str
) -> str:
    count = round(length / step)
    ticks = []
    for k in range(count + 1):
        size = 1.6 + 1.3 * sum(k % every == 0 for every in longer)
        x = MARGIN + k * step
        ticks.append(line((x, y), (x, y + size), **THIN))
    numbers = "".join(
        text(str(k // longer[1] * (10 if longer[1] == 10 else 1)), MARGIN + k * step, y + 7.2,
             SMALL, text_anchor="middle")
        for k in range(0, count + 1, longer[1])
    )  # fmt: skip
    whole = element("line", id=name, x1=MARGIN, y1=y, x2=MARGIN + length, y2=y, **THIN)
    end = text(words, MARGIN + length + 2.5, y + 3.0, SMALL, font_weight="bold")
    return group(whole, *ticks, numbers, end, class_="ruler")
