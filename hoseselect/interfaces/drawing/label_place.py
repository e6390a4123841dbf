"""Finding a free place for words beside what they name."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.mechanics.arrays import Floats

Box = tuple[float, float, float, float]
ANGLES = np.radians(np.arange(0.0, 360.0, 15.0))
REACHES = (3.0, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 41.0)
EDGES = ((0, 1), (0, 0), (1, 1), (1, 0), (0.5, 1), (0.5, 0), (0, 0.5), (1, 0.5), (0.25, 1),
         (0.75, 1), (0.25, 0), (0.75, 0))  # fmt: skip
"""Places tried along the edge of a room, as shares of its width and height."""
OUT_OF_ROOM, ON_WORDS, ON_LEADER, ON_HOSE, ON_LINES = 1e6, 1e4, 300.0, 100.0, 6.0


@dataclass
class Taken:
    """What is already on the paper in one view.

    Parameters
    ----------
    room : left, top, right, bottom that words must stay in [mm]
    boxes : places of words [mm]
    heavy : points that words should not cover, each (x, y, radius) [mm]
    light : points of thin lines, words there are readable but unlovely [mm]
    """

    room: Box
    boxes: list[Box] = field(default_factory=list)
    heavy: list[Floats] = field(default_factory=list)
    light: list[Floats] = field(default_factory=list)

    def add(self, points: Floats, radius: float, *, heavy: bool = True) -> None:
        """Take the places round points (n, 2) up to a radius [mm]."""
        rows = np.column_stack((points, np.full(len(points), radius)))
        (self.heavy if heavy else self.light).append(rows)

    def place(self, anchor: Floats, width: float, height: float) -> Box:
        """Return the best place for words near an anchor, and take it.

        Parameters
        ----------
        anchor : what is named (2,) [mm]
        width, height : of the words [mm]
        """
        best: Box = (0.0, 0.0, 0.0, 0.0)
        least = np.inf
        for reach in REACHES:
            for angle in ANGLES:
                heading = np.array([np.cos(angle), np.sin(angle)])
                centre = anchor + heading * reach + heading * (width / 2, height / 2)
                box = _box(centre, width, height)
                cost = self._cost(box) + reach + self._crossed(box, anchor)
                if cost < least - 1e-9:
                    best, least = box, cost
        self.boxes.append(best)
        return best

    def free(self, box: Box) -> bool:
        """Whether a place is clear of words."""
        return not any(_shared(box, other) for other in self.boxes)

    def corner(self, width: float, height: float) -> Box:
        """Return the freest place at the edge of the room, corners first, and take it.

        Parameters
        ----------
        width, height : of what is placed [mm]
        """
        left, top, right, bottom = self.room
        best: Box = (left, bottom - height, left + width, bottom)
        least = np.inf
        for order, (x, y) in enumerate(EDGES):
            corner_x = left + x * (right - left - width)
            corner_y = top + y * (bottom - top - height)
            box = (corner_x, corner_y, corner_x + width, corner_y + height)
            cost = self._cost(box) + order
            if cost < least:
                best, least = box, cost
        self.boxes.append(best)
        return best

    def _crossed(self, box: Box, anchor: Floats) -> float:
        """Cost of the words that a line from a box to its anchor runs over."""
        shares = np.linspace(0.0, 1.0, 12)[:, None]
        points = nearest_edge(box, anchor) * (1 - shares) + anchor * shares
        return sum(
            ON_LEADER
            for left, top, right, bottom in self.boxes
            if np.any(np.all((points > (left, top)) & (points < (right, bottom)), axis=1))
        )

    def _cost(self, box: Box) -> float:
        left, top, right, bottom = box
        cost = sum(
            OUT_OF_ROOM * max(over, 0.0)
            for over in (
                self.room[0] - left, self.room[1] - top,
                right - self.room[2], bottom - self.room[3],
            )
        )  # fmt: skip
        cost += sum(ON_WORDS * _shared(box, other) for other in self.boxes)
        return cost + ON_HOSE * _covered(self.heavy, box) + ON_LINES * _covered(self.light, box)


def _box(centre: Floats, width: float, height: float) -> Box:
    x, y = float(centre[0]), float(centre[1])
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _shared(a: Box, b: Box) -> float:
    """Area that two boxes share, with a little air between them [mm2]."""
    air = 0.6
    wide = min(a[2], b[2]) - max(a[0], b[0]) + air
    high = min(a[3], b[3]) - max(a[1], b[1]) + air
    return wide * high if wide > 0 and high > 0 else 0.0


def _covered(rows: list[Floats], box: Box) -> float:
    """Number of points whose disc a box touches."""
    if not rows:
        return 0.0
    points = np.concatenate(rows)
    apart = np.hypot(
        points[:, 0] - points[:, 0].clip(box[0], box[2]),
        points[:, 1] - points[:, 1].clip(box[1], box[3]),
    )
    return float((apart < points[:, 2]).sum())


def words_at(words: str, box: Box, anchor: Floats) -> str:
    """Return words in a box, set against the side that is nearer to what they name."""
    right = anchor[0] > (box[0] + box[2]) / 2
    return on_white(
        words, box[2] if right else box[0], box[3] - 0.8, text_anchor="end" if right else ""
    )


def nearest_edge(box: Box, anchor: Floats) -> Floats:
    """Return the point of a box that is nearest to an anchor, (2,) [mm]."""
    return np.array([np.clip(anchor[0], box[0], box[2]), np.clip(anchor[1], box[1], box[3])])
