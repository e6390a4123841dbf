"""Rectification of a plane against the closed formula of Heckbert, and against exact maps.

Heckbert, Fundamentals of Texture Mapping and Image Warping, master's thesis, University of
California at Berkeley, UCB/CSD 89/516, 1989, section 2.2.3 (from memory): the projective map of
the unit square onto a quadrilateral. He prints the formula and no worked figures; it is evaluated
here in exact fractions, and its own defining property (corners go to corners) is checked first.

The other checks hold against mathematics alone: a map that is known is found again, a rectangle
seen by a known camera is seen as that camera sees it.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from hoseselect.knowledge.errors import InputError
from hoseselect.photo.camera import Camera
from hoseselect.photo.homography import homography, mapped

SQUARE = ((0, 0), (1, 0), (1, 1), (0, 1))
QUADRILATERALS = (
    ((10, 20), (110, 35), (90, 140), (5, 95)),
    ((0, 0), (4, 0), (3, 2), (1, 2)),
    ((1204, 833), (2950, 911), (2705, 2380), (1022, 2101)),
    ((7, 3), (9, 4), (8, 8), (2, 6)),
)
INSIDE = (
    (Fraction(1, 2), Fraction(1, 2)),
    (Fraction(1, 3), Fraction(4, 5)),
    (Fraction(-1, 4), Fraction(1, 7)),
)


def heckbert(corners: tuple[tuple[int, int], ...]) -> list[list[Fraction]]:
    """Return the matrix of the map of the unit square, in exact fractions."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = ((Fraction(x), Fraction(y)) for x, y in corners)
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    below = dx1 * dy2 - dx2 * dy1
    g = (sx * dy2 - dx2 * sy) / below
    h = (dx1 * sy - sx * dy1) / below
    return [
        [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
        [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
        [g, h, Fraction(1)],
    ]


def sent(matrix: list[list[Fraction]], x: Fraction, y: Fraction) -> tuple[Fraction, Fraction]:
    u, v, w = (row[0] * x + row[1] * y + row[2] for row in matrix)
    return u / w, v / w


@pytest.mark.parametrize("corners", QUADRILATERALS)
def test_the_formula_sends_corners_to_corners(corners: tuple[tuple[int, int], ...]) -> None:
    matrix = heckbert(corners)
    reached = tuple(sent(matrix, Fraction(x), Fraction(y)) for x, y in SQUARE)
    assert reached == corners


@pytest.mark.parametrize("corners", QUADRILATERALS)
def test_our_map_is_that_of_the_formula(corners: tuple[tuple[int, int], ...]) -> None:
    exact = heckbert(corners)
    ours = homography(np.array(SQUARE, dtype=float), np.array(corners, dtype=float))
    assert ours == pytest.approx(np.array(exact, dtype=float), rel=1e-9, abs=1e-9)
    points = np.array(INSIDE, dtype=float)
    true = np.array([sent(exact, x, y) for x, y in INSIDE], dtype=float)
    assert mapped(ours, points) == pytest.approx(true, rel=1e-9)


def test_a_planted_error_in_the_formula_is_seen() -> None:
    exact = heckbert(QUADRILATERALS[0])
    exact[2][0] *= Fraction(101, 100)
    ours = homography(np.array(SQUARE, dtype=float), np.array(QUADRILATERALS[0], dtype=float))
    assert ours != pytest.approx(np.array(exact, dtype=float), rel=1e-9, abs=1e-9)


def test_a_known_map_is_found_again_from_many_points() -> None:
    known = np.array([[1.2, 0.1, 30.0], [-0.2, 0.9, 12.0], [4e-4, -2e-4, 1.0]])
    points = np.random.default_rng(1).uniform(0, 500, (30, 2))
    assert homography(points, mapped(known, points)) == pytest.approx(known, rel=1e-8, abs=1e-10)


def test_of_points_that_scatter_the_map_is_that_of_least_squares() -> None:
    """No map near it leaves smaller squares than four pixels of scatter leave it."""
    known = np.array([[1.2, 0.1, 30.0], [-0.2, 0.9, 12.0], [4e-4, -2e-4, 1.0]])
    random = np.random.default_rng(2)
    points = random.uniform(0, 500, (200, 2))
    seen = mapped(known, points) + random.normal(0, 4, points.shape)
    ours = ((mapped(homography(points, seen), points) - seen) ** 2).sum()
    assert ours < 1.01 * ((mapped(known, points) - seen) ** 2).sum()


@pytest.mark.parametrize(
    "plane",
    [SQUARE[:3], ((0, 0), (1, 0), (2, 0), (3, 0)), ((1, 1), (1, 1), (1, 1), (1, 1))],
)
def test_points_that_fix_no_map_are_refused(plane: tuple[tuple[int, int], ...]) -> None:
    picture = np.array(QUADRILATERALS[0], dtype=float)[: len(plane)]
    with pytest.raises(InputError, match="expected"):
        homography(np.array(plane, dtype=float), picture)


def camera(radial: float = 0.0) -> Camera:
    return Camera(
        np.array([2.7, 0.3, -0.4]),
        np.array([20.0, -30.0, 620.0]),
        np.array(2900.0),
        np.array([2010.0, 1490.0]),
        np.array(radial),
    )


def test_a_camera_without_distortion_sees_a_plane_as_its_projective_map() -> None:
    """Hartley and Zisserman, Multiple View Geometry, chapter 8: H = K [r1 r2 t] (from memory)."""
    eye = camera()
    inner = np.array([[2900.0, 0, 2010], [0, 2900, 1490], [0, 0, 1]])
    turn = eye.rotation
    matrix = inner @ np.column_stack([turn[:, 0], turn[:, 1], eye.place])
    points = np.random.default_rng(3).uniform(-150, 150, (20, 2))
    seen = eye.seen(np.column_stack([points, np.zeros(20)]))
    assert seen == pytest.approx(mapped(matrix, points), rel=1e-12)
    assert homography(points, seen) == pytest.approx(matrix / matrix[2, 2], rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("radial", [-0.05, 0.0, 0.05])
def test_what_a_camera_sees_at_a_height_is_brought_back(radial: float) -> None:
    eye = camera(radial)
    points = np.random.default_rng(4).uniform(-200, 200, (20, 2))
    seen = eye.seen(np.column_stack([points, np.full(20, 11.0)]))
    assert eye.on_plane(seen, 11.0) == pytest.approx(points, abs=1e-6)
    assert np.abs(eye.on_plane(seen, 0.0) - points).max() > 1
