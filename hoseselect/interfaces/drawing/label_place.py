"""Finding a free place for words beside what they name."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.interfaces.drawing.hatch import half_planes
from hoseselect.mechanics.arrays import Floats

Bools = npt.NDArray[np.bool_]
Box = tuple[float, float, float, float]
ANGLES = np.radians(np.arange(0.0, 360.0, 15.0))
HEADINGS = np.column_stack((np.cos(ANGLES), np.sin(ANGLES)))
REACHES = np.array([3.0, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 41.0])
AIR = 0.6
"""Between two places of words [mm]."""
OUT_OF_ROOM, ON_WORDS, ON_HATCH, ON_LEADER, ON_HOSE, ON_LINES = 1e6, 1e4, 1e4, 1e4, 100.0, 6.0
THROUGH_HOSE = 4.0
"""Cost of each point of a line to words that runs through what is drawn [-]."""
AT_ANCHOR = 1.5
"""Words may reach this near to what others name [mm]."""
CROWDED = 90.0
"""Cost above which a place near its anchor is poor, and the whole room is searched [-]."""
GRID = 4.0
"""Distance of the places tried over the whole room [mm]."""


@dataclass
class Taken:
    """What is already on the paper in one view.

    Parameters
    ----------
    room : left, top, right, bottom that words must stay in [mm]
    boxes : places of words [mm]
    heavy : points that words should not cover, each (x, y, radius) [mm]
    light : points of thin lines, words there are readable but unlovely [mm]
    hatched : half planes of what is hatched, where no words should lie: directions inward (n, 2)
        and offsets (n,) each
    leaders : points along the lines from words to what they name, (n, 2) each [mm]
    worst : cost of the worst place that was taken [-]
    """

    room: Box
    boxes: list[Box] = field(default_factory=list)
    heavy: list[Floats] = field(default_factory=list)
    light: list[Floats] = field(default_factory=list)
    hatched: list[tuple[Floats, Floats]] = field(default_factory=list)
    leaders: list[Floats] = field(default_factory=list)
    worst: float = 0.0

    def add(self, points: Floats, radius: float, *, heavy: bool = True) -> None:
        """Take the places round points (n, 2) up to a radius [mm]."""
        rows = np.column_stack((points, np.full(len(points), radius)))
        (self.heavy if heavy else self.light).append(rows)

    def hatch(self, outline: Floats) -> None:
        """Take the inside of a convex outline (n, 2), which is hatched [mm]."""
        inward, offsets = half_planes(outline, self.room)
        self.hatched.append((inward, offsets - AIR * np.linalg.norm(inward, axis=1)))

    def place(self, anchor: Floats, width: float, height: float) -> Box:
        """Return the best place for words near an anchor, and take it.

        Parameters
        ----------
        anchor : what is named (2,) [mm]
        width, height : of the words [mm]
        """
        size = np.array([width, height])
        near = anchor + HEADINGS * REACHES[:, None, None] + HEADINGS * size / 2
        best, least = self._best(near.reshape(-1, 2), anchor, size)
        if least > CROWDED:
            left, top, right, bottom = self.room
            across = np.arange(left + width / 2, right - width / 2, GRID)
            down = np.arange(top + height / 2, bottom - height / 2, GRID)
            everywhere = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
            if len(everywhere):
                found = self._best(everywhere, anchor, size)
                best, least = min((best, least), found, key=lambda one: one[1])
        self.boxes.append(best)
        self.leaders.append(_leaders(np.array([best]), anchor)[0])
        self.worst = max(self.worst, least)
        return best

    def _best(self, centres: Floats, anchor: Floats, size: Floats) -> tuple[Box, float]:
        """Return the cheapest of places for words round some centres (n, 2), and its cost."""
        boxes = np.hstack((centres - size / 2, centres + size / 2))
        costs = self._costs(boxes, anchor)
        first = int(np.round(costs, 6).argmin())
        left, top, right, bottom = (float(edge) for edge in boxes[first])
        return (left, top, right, bottom), float(costs[first])

    def free(self, box: Box) -> bool:
        """Whether a place is clear of words."""
        return not any(_shared(np.array([box]), np.array(other))[0] for other in self.boxes)

    def _costs(self, boxes: Floats, anchor: Floats) -> Floats:
        """Cost of words in boxes (n, 4) that are led to an anchor, (n,)."""
        room = np.array(self.room)
        beyond = np.hstack((room[:2] - boxes[:, :2], boxes[:, 2:] - room[2:]))
        costs = OUT_OF_ROOM * beyond.clip(0.0).sum(axis=1)
        leaders = _leaders(boxes, anchor)
        costs += np.linalg.norm(leaders[:, 0] - anchor, axis=1)
        costs += THROUGH_HOSE * _through(self.heavy, leaders)
        off = np.linalg.norm(leaders - anchor, axis=2) > AT_ANCHOR
        for box in self.boxes:
            costs += ON_WORDS * _shared(boxes, np.array(box))
            costs += ON_LEADER * (off & _inside(leaders, np.array(box))).any(axis=1)
        for points in self.leaders:
            costs += ON_LEADER * _inside(points[None, :, :], boxes[:, None, :]).any(axis=1)
        for inward, offsets in self.hatched:
            costs += ON_HATCH * _over(boxes, inward, offsets)
        return (
            costs + ON_HOSE * _covered(self.heavy, boxes) + ON_LINES * _covered(self.light, boxes)
        )


def _leaders(boxes: Floats, anchor: Floats) -> Floats:
    """Points along the lines from boxes (n, 4) to what they name, (n, 24, 2) [mm]."""
    starts = anchor.clip(boxes[:, :2], boxes[:, 2:])
    shares = np.linspace(0.0, 1.0, 24)[:, None]
    return np.asarray(starts[:, None, :] * (1 - shares) + anchor * shares, float)


def _inside(points: Floats, box: Floats) -> Bools:
    """Which points lie in a box."""
    within = (points > box[..., :2]) & (points < box[..., 2:])
    return np.asarray(within.all(axis=-1), dtype=np.bool_)


def _shared(boxes: Floats, other: Floats) -> Floats:
    """Area that boxes share with another one, with a little air between them, (n,) [mm2]."""
    sizes = np.minimum(boxes[:, 2:], other[2:]) - np.maximum(boxes[:, :2], other[:2]) + AIR
    return np.asarray(np.where((sizes > 0).all(axis=1), sizes.prod(axis=1), 0.0), float)


def _over(boxes: Floats, inward: Floats, offsets: Floats) -> Floats:
    """Share of boxes that lies in the area of some half planes, (n,) [-]."""
    steps = np.stack(np.meshgrid(np.linspace(0, 1, 7), np.linspace(0, 1, 4)), axis=-1)
    low, high = boxes[:, None, :2], boxes[:, None, 2:]
    points = low + steps.reshape(1, -1, 2) * (high - low)
    return np.asarray((points @ inward.T >= offsets).all(axis=2).mean(axis=1), float)


def _through(rows: list[Floats], leaders: Floats) -> Floats:
    """Number of points of lines (n, 24, 2), of every other one, that lie in discs, (n,)."""
    if not rows:
        return np.zeros(len(leaders))
    discs = np.concatenate(rows)[::2]
    points = leaders[:, ::2]
    apart = (points[:, :, None, 0] - discs[:, 0]) ** 2 + (points[:, :, None, 1] - discs[:, 1]) ** 2
    return np.asarray((apart < discs[:, 2] ** 2).any(axis=2).sum(axis=1), float)


def _covered(rows: list[Floats], boxes: Floats) -> Floats:
    """Number of points whose disc a box touches, (n,)."""
    if not rows:
        return np.zeros(len(boxes))
    points = np.concatenate(rows)
    spots = points[None, :, :2]
    apart = np.linalg.norm(spots - spots.clip(boxes[:, None, :2], boxes[:, None, 2:]), axis=2)
    return np.asarray((apart < points[:, 2]).sum(axis=1), float)


def words_at(words: str, box: Box, anchor: Floats) -> str:
    """Return words in a box, set against the side that is nearer to what they name."""
    right = anchor[0] > (box[0] + box[2]) / 2
    return on_white(
        words, box[2] if right else box[0], box[3] - 0.8, text_anchor="end" if right else ""
    )


def nearest_edge(box: Box, anchor: Floats) -> Floats:
    """Return the point of a box that is nearest to an anchor, (2,) [mm]."""
    return np.array([np.clip(anchor[0], box[0], box[2]), np.clip(anchor[1], box[1], box[3])])
