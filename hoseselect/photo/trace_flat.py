"""A hose that lies flat, measured in one photo from above."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.cautions import cautions_of
from hoseselect.photo.checks import (
    check_hose,
    check_lens,
    check_tilt,
    checked_points,
    ordered_corners,
)
from hoseselect.photo.fit_path import HoseTaps, PathFit, likeliest_path, off_path
from hoseselect.photo.lens import lens_of
from hoseselect.photo.path import angles_of, length_of, pieces_of, points_on, radii_of, straights_of
from hoseselect.photo.sheet import sheet_of
from hoseselect.photo.traced import Measured, Traced, TracedBend, tightest_of
from hoseselect.photo.view import SheetTaps, View, find_view

Points = Sequence[tuple[float, float]] | Floats
SHOWN_POINTS = 200
LOOSE = np.array([1e3, 1e3, 10.0, 300.0])
"""How uncertain each figure of a path is at most, so that none is beyond all bounds."""

LOOSE_BEND = np.array([2.0, 1.5, 300.0])
STEP = 1e-3
"""Of a figure of the view, in its standard deviations, by which slopes are found."""


def trace_flat(
    sheet: str,
    size: tuple[int, int],
    corners: Points,
    hose: Points,
    *,
    outside_diameter: float = math.nan,
    focal_35mm: float = math.nan,
    edges: Points = (),
) -> Traced:
    """Return what a photo shows of a hose that lies flat on the plane of a sheet.

    Parameters
    ----------
    sheet : "a4", "letter" or "card"
    size : width and height of the whole picture as it is shown [px]
    corners : the four corners of the sheet, in any order [px]
    hose : points on the middle of the hose as seen, from one end to the other [px]
    outside_diameter : of the hose, NaN if unknown [mm]
    focal_35mm : focal length in terms of 35 mm film, NaN if unknown [mm]
    edges : further points on the edges of the sheet [px]

    Raises
    ------
    InputError
        when the photo is unusable, with the reason.
    """
    check_lens(focal_35mm)
    noise = limit("photo-tap-noise")
    placed = ordered_corners(checked_points(np.asarray(corners), size, "corner"))
    along = checked_points(np.asarray(hose), size, "point along the hose")
    check_hose(along)
    on_edges = checked_points(np.asarray(edges), size, "point on an edge")
    view = seen_from(sheet, size, placed, on_edges, focal_35mm, noise)
    tilt = tilt_of(view)
    check_tilt(tilt)
    height = height_of(outside_diameter)
    taps = brought_down(view, along, height)
    fit = likeliest_path(taps, limit("photo-tap-trust"))
    found = errors_of(view, fit, taps, along, height, noise)
    bends = found.bends(fit)
    traced = Traced(
        sheet=sheet,
        length=found.measured(length_of(fit.path), found.length_slope(fit.path)),
        tightest_radius=tightest_of(bends),
        straights=found.straights(fit),
        bends=bends,
        cautions=(),
        tilt=tilt,
        scatter=found.scatter,
        middle_line=seen_line(view, fit.path, height.value),
    )
    return cautions_of(traced, along, size, taps, fit, outside_diameter)


@dataclass(frozen=True)
class Errors:
    """How uncertain a fitted path is.

    Parameters
    ----------
    covariance : of its figures
    scatter : standard deviation of a tap [px]
    times : errors that are told, in standard deviations
    """

    covariance: Floats
    scatter: float
    times: float

    def measured(self, value: float, slope: Floats) -> Measured:
        """Return a figure with its error, from how it changes with the figures of the path."""
        return Measured(value, self.times * float(np.sqrt(slope @ self.covariance @ slope)))

    def length_slope(self, path: Floats) -> Floats:
        """Return how the length changes with the figures of the path."""
        slope = np.zeros(len(path))
        slope[3::3] = 1.0
        slope[4::3] = np.sign(angles_of(path)) * radii_of(path)
        slope[5::3] = np.abs(angles_of(path)) * radii_of(path)
        return slope

    def straights(self, fit: PathFit) -> tuple[Measured, ...]:
        """Return the straights with their errors [mm]."""
        unit = np.eye(len(fit.path))
        return tuple(
            self.measured(float(length), unit[3 + 3 * number])
            for number, length in enumerate(straights_of(fit.path))
        )

    def bends(self, fit: PathFit) -> tuple[TracedBend, ...]:
        """Return the bends with their errors; the first turns as it likes."""
        unit, made = np.eye(len(fit.path)), []
        angles, radii = np.degrees(angles_of(fit.path)), radii_of(fit.path)
        for number, (angle, radius) in enumerate(zip(angles, radii, strict=True)):
            off = self.measured(0.0, unit[4 + 3 * number]).error
            share = self.measured(0.0, unit[5 + 3 * number]).error
            other = number > 0 and angle * angles[number - 1] < 0
            made.append(
                TracedBend(
                    Measured(abs(float(angle)), math.degrees(off)),
                    Measured(float(radius), float(radius * np.expm1(min(share, 5.0)))),
                    Measured(180.0 if other else 0.0, 0.0),
                )
            )
        return tuple(made)


def height_of(outside_diameter: float) -> Measured:
    """Return the height of the centreline over the table, with its standard deviation [mm]."""
    if math.isnan(outside_diameter):
        return Measured(limit("photo-diameter-usual") / 2, limit("photo-diameter-spread") / 2)
    if not outside_diameter > 0:
        raise InputError("outside diameter", f"{outside_diameter:g} mm", "more than 0 mm")
    return Measured(outside_diameter / 2, outside_diameter * limit("photo-height-spread"))


def seen_from(
    sheet: str,
    size: tuple[int, int],
    corners: Floats,
    edges: Floats,
    focal_35mm: float,
    noise: float,
) -> View:
    """Return the view in which four corners are a sheet, whichever side is the long one.

    Raises
    ------
    InputError
        when they are no such sheet, or it is not clear which side is which.
    """
    known, lens = sheet_of(sheet), lens_of(size, focal_35mm)
    views = []
    for shift in (0, 1):
        turned = np.roll(corners, shift, axis=0)
        sides = nearest_sides(turned, edges)
        views.append(find_view(SheetTaps(known, lens, turned, edges, sides), noise))
    best, other = sorted(views, key=lambda view: view.cost)
    if best.cost > limit("photo-fit-most") + len(edges):
        raise InputError(
            "corners of the sheet",
            f"corners that do not look like {known.name}",
            "the sheet that is named, flat on the table, in a photo that was not cropped",
        )
    if other.cost - best.cost < limit("photo-side-clear"):
        raise InputError(
            "corners of the sheet",
            "a look from which the long side cannot be told from the short one",
            "a photo from more directly above",
        )
    return best


def nearest_sides(corners: Floats, points: Floats) -> npt.NDArray[np.intp]:
    """Return on which side of the sheet each point lies, as the number of its first corner."""
    ends = np.roll(corners, -1, axis=0)
    along = (ends - corners) / np.linalg.norm(ends - corners, axis=1, keepdims=True)
    gaps = points[:, None] - corners[None]
    aside = np.abs(gaps[..., 0] * along[:, 1] - gaps[..., 1] * along[:, 0])
    return aside.argmin(axis=1)


def tilt_of(view: View) -> float:
    """Return by how much the look to the sheet is off straight down [deg]."""
    seat = view.camera.seat
    return math.degrees(math.acos(min(1.0, float(seat[2] / np.linalg.norm(seat)))))


def brought_down(view: View, along: Floats, height: Measured) -> HoseTaps:
    """Return taps in the plane of the centreline.

    Raises
    ------
    InputError
        when they lie above the horizon, or far off the sheet.
    """
    camera = view.camera
    here = camera.on_plane(along, height.value)
    steps = [camera.on_plane(along + step, height.value) - here for step in np.eye(2)]
    reach = limit("photo-reach-most") * view.taps.sheet.length
    far = np.hypot(here[:, 0], here[:, 1]).max()
    if not far <= reach:
        raise InputError(
            "points along the hose",
            "a hose that lies far off the sheet",
            f"a hose within {reach:.0f} mm of it: lay the sheet beside its middle",
        )
    return HoseTaps(here, np.stack(steps, axis=1), height.value, limit("photo-tap-noise"))


def errors_of(
    view: View, fit: PathFit, taps: HoseTaps, along: Floats, height: Measured, noise: float
) -> Errors:
    """Return how uncertain a path is: by its taps, by the view, and by the height of the hose."""
    from scipy.stats import t as student

    trust = limit("photo-tap-trust")
    freedom = trust + max(len(fit.off) - len(fit.path), 0)
    scatter = math.sqrt((trust * noise**2 + fit.squares) / freedom)
    loose = np.concatenate([LOOSE, np.tile(LOOSE_BEND, fit.bends)])
    shape = np.linalg.inv(fit.slopes.T @ fit.slopes / scatter**2 + np.diag(loose**-2.0))
    of_view = view.covariance(scatter)
    spreads = np.sqrt(np.diag(of_view))
    states = view.state + STEP * np.vstack([np.diag(spreads), np.zeros(len(spreads))])
    heights = np.full(len(states), height.value)
    heights[-1] += STEP * height.error
    shifted = view.taps.camera(states).on_plane(along, heights)
    columns = [off_path(fit.path, replace(taps, places=places)) - fit.off for places in shifted] / (
        STEP * np.array([*spreads, height.error])
    )[:, None]
    leaning = -shape @ fit.slopes.T @ columns.T / scatter**2
    known = np.zeros((len(columns), len(columns)))
    known[:-1, :-1], known[-1, -1] = of_view, height.error**2
    times = float(student.ppf((1 + limit("photo-confidence")) / 2, freedom))
    return Errors(shape + leaning @ known @ leaning.T, scatter, times)


def seen_line(view: View, path: Floats, height: float) -> tuple[tuple[float, float], ...]:
    """Return points of a path as they are seen in the picture [px]."""
    pieces = pieces_of(path)
    ends = np.cumsum(pieces.lengths)
    along = np.linspace(0.0, ends[-1], SHOWN_POINTS)
    piece = np.minimum(np.searchsorted(ends, along), len(ends) - 1)
    within = along - (ends - pieces.lengths)[piece]
    places, _ = points_on(pieces, piece.astype(np.float64), within)
    seen = view.camera.seen(np.column_stack([places, np.full(len(places), height)]))
    return tuple((float(x), float(y)) for x, y in seen)
