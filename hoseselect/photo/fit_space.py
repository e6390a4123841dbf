"""The path in space that is seen nearest to the taps in two photos."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.placed_view import PLACEMENT, PlacedView, placement_spreads
from hoseselect.photo.space_path import EACH, HEAD, space_points

STEP = 1e-4
ENOUGH = 1e-4
MOST_STEPS = 25
CLOSE = 3.0
"""Scatter of the taps, per usual one, from which on no more bends are tried once one is no help."""

STRAY = 0.2
"""How much a foot strays from its share of the hose, as part of that in distance: so that where a
hose is seen to cross itself, a tap comes down on the stretch that it belongs to."""


@dataclass(frozen=True)
class SpaceTaps:
    """Taps along one hose in two photos.

    Parameters
    ----------
    views : of the sheet
    taps : along the hose in each, shape (taps, 2) [px]
    radius : of the hose itself [mm]
    noise : usual standard deviation of a tap [px]
    """

    views: tuple[PlacedView, ...]
    taps: tuple[Floats, ...]
    radius: float
    noise: float

    @property
    def count(self) -> int:
        """How many taps there are in all."""
        return sum(len(one) for one in self.taps)


@dataclass(frozen=True)
class SpaceFit:
    """A path fitted to the taps of two photos.

    Parameters
    ----------
    figures : those of the path, then those by which the sheet that stood was off its place
    off : what differs: aside of each tap, then along the hose at both ends, in each photo [px]
    slopes : how that changes with the figures
    leanings : how it changes with the figures of each view
    """

    figures: Floats
    off: Floats
    slopes: Floats
    leanings: tuple[Floats, ...]

    @property
    def path(self) -> Floats:
        """The figures of the path."""
        return self.figures[:-PLACEMENT]

    @property
    def squares(self) -> float:
        """Sum of the squares of what differs [px2]."""
        return float(self.off @ self.off)


def off_space(figures: Floats, taps: SpaceTaps, *, leaning: bool = False) -> SpaceFit:
    """Return what differs between a path and the taps, and how that changes.

    Parameters
    ----------
    figures : of a path, then those by which the sheet that stood was off its place
    taps : in both photos
    leaning : whether the figures of the views are asked for too
    """
    points = space_points(figures[:-PLACEMENT])
    off = figures[-PLACEMENT:]
    moved = figures + STEP * np.eye(len(figures))
    moved_points = space_points(moved[:, :-PLACEMENT])
    offs, slopes, leanings = [], [], []
    for view, tapped in zip(taps.views, taps.taps, strict=True):
        state = view.view.state
        line = view.seen(points, state, off)
        foot = _Feet(line, tapped)
        offs.append(foot.off(line, tapped))
        lines = view.seen(moved_points, state, moved[:, -PLACEMENT:])
        slopes.append((foot.off(lines, tapped) - offs[-1]).T / STEP)
        if leaning:
            lines = view.seen(points, state + STEP * np.eye(len(state)), off)
            leanings.append((foot.off(lines, tapped) - offs[-1]).T / STEP)
    return SpaceFit(figures, np.concatenate(offs), np.concatenate(slopes), tuple(leanings))


class _Feet:
    """Where taps come down on a line of points: they stay there while the line moves a little."""

    def __init__(self, line: Floats, tapped: Floats) -> None:
        steps = np.diff(line, axis=0)
        sizes = np.maximum((steps**2).sum(axis=1), 1e-12)
        gaps = tapped[:, None] - line[None, :-1]
        share = (gaps * steps).sum(axis=-1) / sizes
        least, most = np.zeros(len(steps)), np.ones(len(steps))
        least[0], most[-1] = -np.inf, np.inf
        share = np.clip(share, least, most)
        far = ((gaps - share[..., None] * steps) ** 2).sum(axis=-1)
        along = np.concatenate([[0.0], np.cumsum(np.sqrt(sizes))])
        run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(tapped, axis=0).T))])
        place = along[:-1] + np.clip(share, 0, 1) * np.sqrt(sizes)
        stray = STRAY * (place - (run / run[-1] * along[-1])[:, None])
        self.piece = (far + stray**2).argmin(axis=1)
        self.share = share[np.arange(len(tapped)), self.piece]
        ways = steps / np.sqrt(sizes)[:, None]
        way = ways[self.piece]
        self.across = np.column_stack([-way[:, 1], way[:, 0]])
        self.ends = ways[[0, -1]]

    def off(self, line: Floats, tapped: Floats) -> Floats:
        """Return what differs from one line or from several, shape (..., taps + 2) [px]."""
        start, end = line[..., self.piece, :], line[..., self.piece + 1, :]
        foot = start + self.share[:, None] * (end - start)
        aside = ((tapped - foot) * self.across).sum(axis=-1)
        along = ((tapped[[0, -1]] - line[..., [0, -1], :]) * self.ends).sum(axis=-1)
        return np.concatenate([aside, along], axis=-1)


def fit_space(start: Floats, taps: SpaceTaps) -> SpaceFit:
    """Return the path with the number of bends of a first guess that is nearest to the taps."""
    from scipy.optimize import least_squares

    count = len(start)
    roots, radii = slice(HEAD - 1, count, EACH), slice(HEAD + 1, count, EACH)
    usual = np.log(limit("photo-bend-usual") * 2 * taps.radius)
    spread = limit("photo-bend-usual-spread")
    unit = np.eye(count + PLACEMENT)
    known = placement_spreads()
    held = np.concatenate(
        [unit[radii] / spread, unit[HEAD + 2 : count][:1], unit[count:] / known[:, None]]
    )

    def figures_of(sought: Floats) -> Floats:
        figures = sought.copy()
        figures[roots] **= 2
        return figures

    def departs(sought: Floats) -> Floats:
        off = off_space(figures_of(sought), taps).off / taps.noise
        bend = (sought[radii] - usual) / spread
        return np.concatenate([off, bend, sought[HEAD + 2 : count][:1], sought[count:] / known])

    def slopes(sought: Floats) -> Floats:
        found = off_space(figures_of(sought), taps).slopes / taps.noise
        found[:, roots] *= 2 * sought[roots]
        return np.concatenate([found, held])

    begin = np.concatenate([start, np.zeros(PLACEMENT)])
    begin[roots] = np.sqrt(np.maximum(start[roots], 1.0))
    done = least_squares(
        departs, begin, jac=slopes, method="lm", x_scale="jac", ftol=ENOUGH, xtol=ENOUGH,
        max_nfev=MOST_STEPS,
    )  # fmt: skip
    return off_space(figures_of(done.x), taps)


def likeliest_space(guesses: list[Floats], taps: SpaceTaps) -> SpaceFit:
    """Return the path whose number of bends the taps ask for, as `likeliest_path` does."""
    trust, weight = limit("photo-tap-trust"), limit("photo-figure-weight")

    def score(fit: SpaceFit) -> float:
        told = trust * taps.noise**2 + fit.squares
        figures = weight * len(fit.path) * float(np.log(taps.count))
        return (taps.count + trust) * float(np.log(told)) + figures

    best = fit_space(guesses[0], taps)
    for guess in guesses[1:]:
        fit = fit_space(guess, taps)
        if score(fit) < score(best):
            best = fit
        elif best.squares < taps.count * (CLOSE * taps.noise) ** 2:
            break
    return best
