"""Where a camera stood, from the corners of the sheet: with what is not known of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.camera import Camera
from hoseselect.photo.homography import homography
from hoseselect.photo.lens import Lens
from hoseselect.photo.sheet import Sheet

ENOUGH = 1e-3
MOST_STEPS = 60
STEP = 1e-5
SMALL_TURN = 0.01
LEAST_ASKED, MOST_ASKED = 0.3, 3.0
"""Focal lengths that are tried, per usual one."""

FIGURES = 12
"""Of a view: turn, place, logarithm of the focal length, middle, distortion, sheet off its size."""

TOLERANCE_SPREAD = 0.25
"""Standard deviation of a size over its tolerance: paper is cut far better than it must be."""


@dataclass(frozen=True)
class SheetTaps:
    """What was tapped on a sheet, and what was known before.

    Parameters
    ----------
    sheet : the sheet
    lens : what is known of the lens
    corners : clockwise as seen, the first side being a long one, shape (4, 2) [px]
    edges : points on the edges of the sheet, shape (points, 2) [px]
    sides : the side that each of these points lies on, as the number of its first corner
    """

    sheet: Sheet
    lens: Lens
    corners: Floats
    edges: Floats
    sides: npt.NDArray[np.intp]

    def camera(self, state: Floats) -> Camera:
        """Return the camera of a state, or the cameras of several, shape (..., 12)."""
        focal = self.lens.focal * np.exp(state[..., 6])
        middle = self.lens.middle + state[..., 7:9]
        return Camera(state[..., :3], state[..., 3:6], focal, middle, state[..., 9])

    def off(self, state: Floats) -> Floats:
        """Return by how much the taps differ from a state, or from several [px]."""
        camera = self.camera(state)
        corners = self.sheet.corners(state[..., 10:])
        flat = np.concatenate([corners, np.zeros((*corners.shape[:-1], 1))], axis=-1)
        gaps = (camera.seen(flat) - self.corners).reshape(*corners.shape[:-2], -1)
        corner_off: Floats = np.asarray(gaps, dtype=np.float64)
        if not len(self.edges):
            return corner_off
        start = corners[..., self.sides, :]
        end = corners[..., (self.sides + 1) % 4, :]
        along = (end - start) / np.linalg.norm(end - start, axis=-1, keepdims=True)
        across = np.stack([-along[..., 1], along[..., 0]], axis=-1)
        aside = ((camera.on_plane(self.edges) - start) * across).sum(axis=-1)
        return np.concatenate([corner_off, aside / seen_scale(camera, self.edges, across)], axis=-1)

    @property
    def spreads(self) -> Floats:
        """Standard deviations of what is known before; infinite for turn and place."""
        lens, size = self.lens, TOLERANCE_SPREAD * self.sheet.tolerance
        known = [lens.focal_spread, lens.middle_spread, lens.middle_spread, lens.radial_spread]
        return np.array([np.inf] * 6 + known + [size, size])


def seen_scale(camera: Camera, picture: Floats, across: Floats, height: float = 0.0) -> Floats:
    """Return how far a plane moves along a direction when the picture moves by a pixel any way.

    Parameters
    ----------
    picture : points, shape (points, 2) [px]
    across : directions in the plane at each of them, unit vectors, shape (points, 2)
    height : of the plane over the sheet [mm]

    Returns
    -------
    distances, shape (points,) [mm/px]
    """
    moved = picture + np.array([[[0.0, 0.0]], [[1.0, 0.0]], [[0.0, 1.0]]])
    places = camera.on_plane(moved.reshape(-1, 2), height)
    here, right, down = np.split(places, 3, axis=-2)
    scale: Floats = np.hypot(*[((moved - here) * across).sum(axis=-1) for moved in (right, down)])
    return scale


@dataclass(frozen=True)
class View:
    """Where a camera stood.

    Parameters
    ----------
    taps : what it was found from
    state : the likeliest figures
    slopes : how what differs changes with them, shape (taps, 12)
    cost : squares of what differs and of what departs from the known, in standard deviations
    """

    taps: SheetTaps
    state: Floats
    slopes: Floats
    cost: float

    @property
    def camera(self) -> Camera:
        """The likeliest camera."""
        return self.taps.camera(self.state)

    def covariance(self, noise: float) -> Floats:
        """Return how uncertain the figures are, shape (12, 12).

        Parameters
        ----------
        noise : standard deviation of a tap [px]
        """
        known = self.taps.spreads**-2
        told = self.slopes.T @ self.slopes / noise**2
        return np.asarray(np.linalg.inv(told + np.diag(known)), dtype=np.float64)


def find_view(taps: SheetTaps, noise: float) -> View:
    """Return where the camera stood: the likeliest view of the taps and of what is known.

    The start is the plane homography; the focal length that the homography asks for is tried
    where the usual one leads nowhere. Zhang, A flexible new technique for camera calibration, IEEE
    Transactions on Pattern Analysis and Machine Intelligence 22(11), 2000, for both.

    Parameters
    ----------
    taps : on the sheet
    noise : standard deviation of a tap [px]
    """
    centred = taps.corners - taps.lens.middle
    plane = homography(taps.sheet.corners(), centred)
    usual = _likeliest(taps, _start(taps, plane, 0.0), noise)
    asked = _focal_asked(plane) / taps.lens.focal
    if usual.cost < limit("photo-fit-most") or not LEAST_ASKED < asked < MOST_ASKED:
        return usual
    other = _likeliest(taps, _start(taps, plane, float(np.log(asked))), noise)
    return min(usual, other, key=lambda view: view.cost)


def _focal_asked(plane: Floats) -> float:
    """Return the focal length with which a homography is a view of a plane; NaN if none [px]."""
    first, second = plane[:, 0], plane[:, 1]
    square_on = first[2] * second[2]
    alike = first[2] ** 2 - second[2] ** 2
    tops = np.array(
        [
            first[0] * second[0] + first[1] * second[1],
            first[:2] @ first[:2] - second[:2] @ second[:2],
        ]
    )
    bottoms = np.array([square_on, alike])
    with np.errstate(divide="ignore", invalid="ignore"):
        square = -(tops @ bottoms) / (bottoms @ bottoms)
    return float(np.sqrt(square)) if square > 0 else float("nan")


def _start(taps: SheetTaps, plane: Floats, focal_log: float) -> Floats:
    focal = taps.lens.focal * np.exp(focal_log)
    columns = np.diag([1 / focal, 1 / focal, 1.0]) @ plane
    columns /= np.sqrt(np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1]))
    columns *= 1.0 if columns[2, 2] > 0 else -1.0
    near = np.column_stack([columns[:, 0], columns[:, 1], np.cross(columns[:, 0], columns[:, 1])])
    left, _, right = np.linalg.svd(near)
    rotation = left @ np.diag([1.0, 1.0, np.linalg.det(left @ right)]) @ right
    state = np.zeros(FIGURES)
    state[:3] = _turn_of(rotation)
    state[3:6] = columns[:, 2]
    state[6] = focal_log
    return state


def _turn_of(rotation: Floats) -> Floats:
    from scipy.spatial.transform import Rotation

    turn: Floats = Rotation.from_matrix(rotation).as_rotvec()
    return turn


def _likeliest(taps: SheetTaps, start: Floats, noise: float) -> View:
    from scipy.optimize import least_squares

    spreads = taps.spreads
    scale = np.where(np.isinf(spreads), 1.0, spreads)
    scale[:3] = SMALL_TURN
    known = np.zeros((FIGURES - 6, FIGURES))
    known[:, 6:] = np.eye(FIGURES - 6)

    def departs(scaled: Floats) -> Floats:
        return np.concatenate([taps.off(scaled * scale) / noise, scaled[6:]])

    def slopes(scaled: Floats) -> Floats:
        states = scaled * scale + STEP * np.vstack([np.diag(scale), np.zeros(FIGURES)])
        off = taps.off(states)
        return np.concatenate([(off[:-1] - off[-1]).T / STEP / noise, known])

    begin = start / scale
    done = least_squares(
        departs, begin, jac=slopes, method="lm", ftol=ENOUGH, xtol=ENOUGH, max_nfev=MOST_STEPS
    )
    inverse = noise / scale
    return View(taps, done.x * scale, slopes(done.x)[: -len(known)] * inverse, 2 * float(done.cost))
