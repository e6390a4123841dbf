"""Symmetric bends shorter than the arc, in closed form; elbows, S-bends and long hoses.

Closed form (from k^2 / 2 + n.t = const with 2n = 1): k = sqrt(1 - c cos p), L = int dp / k,
d = int cos p dp / k over [-a, a], radius = 1 / k(a), 0 < c < 1. Tables: computed here before
with more nodes by a second program; they agree with the closed form where that exists.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from hoseselect.mechanics.rod import Pose, Profile, solve


def pose_of(turn):
    """Symmetric bend with a total turn and distance 1."""
    a = np.radians(turn) / 2
    start, end = np.array([np.cos(a), np.sin(a), 0]), np.array([np.cos(a), -np.sin(a), 0])
    return Pose(np.zeros(3), start, np.array([1.0, 0, 0]), end)


def exact(turn, c):
    """Length and radius of a pulled symmetric bend over distance 1."""
    a = np.radians(turn) / 2

    def k(p):
        return np.sqrt(1 - c * np.cos(p))

    # With k largest at the ends the tightest spots are the nipples.
    length = quad(lambda p: 1 / k(p), -a, a, epsabs=1e-13)[0]
    distance = quad(lambda p: np.cos(p) / k(p), -a, a, epsabs=1e-13)[0]
    return length / distance, 1 / k(a) / distance


# total turn [deg], R / d, shortest length / d (printed with nine digits)
TABLE = [
    (60, 0.9, 1.04509747), (60, 0.3, 1.02088572), (90, 0.636396, 1.10562771),
    (90, 0.212132, 1.04870647), (180, 0.45, 1.53940914), (180, 0.15, 1.24210351),
]  # fmt: skip


@pytest.mark.parametrize("row", TABLE)
def test_shortest_length(row):
    turn, radius, shortest = row
    c = brentq(lambda c: exact(turn, c)[1] - radius, 0.0, 0.9999, xtol=1e-14)
    assert exact(turn, c)[0] == pytest.approx(shortest, abs=1e-7)  # R has six digits
    assert Profile([pose_of(turn)]).window(radius).shortest == pytest.approx(shortest, abs=1e-6)


@pytest.mark.parametrize("turn", [20, 40, 60, 90, 120, 150])
@pytest.mark.parametrize("c", [0.2, 0.5, 0.8, 0.95, 0.99])
def test_thirty_closed_forms(turn, c):
    length, radius = exact(turn, c)
    assert solve(pose_of(turn), length).tightest_radius == pytest.approx(radius, rel=1e-4)
    found = Profile([pose_of(turn)], 0.9 * radius).window(radius).shortest
    # 1e-6 of the distance is the tolerance of a single window.
    assert found == pytest.approx(length, abs=1.5e-6)


ELBOW = [
    (1.5, 0.38428), (1.55, 0.74504), (np.pi / 2, 1.0), (1.6, 0.84465), (1.8, 0.50652),
    (2.0, 0.42721), (2.5, 0.38420), (3, 0.39182), (4, 0.44064),
]  # fmt: skip


@pytest.mark.parametrize("row", ELBOW, ids=lambda row: f"L {row[0]:.3f}")
def test_elbow_of_equal_legs(row):
    pose = Pose(np.zeros(3), np.array([1.0, 0, 0]), np.array([1.0, 1, 0]), np.array([0, 1.0, 0]))
    assert solve(pose, row[0]).tightest_radius == pytest.approx(row[1], abs=6e-6)


S_BEND = [
    (1.05, 0.40009, True), (1.06, 0.71617, True), (1.08, 0.60772, False), (1.1, 0.51777, False),
    (1.2, 0.29999, False), (1.5, 0.23413, False), (2, 0.24938, False), (3, 0.32778, False),
]  # fmt: skip


@pytest.mark.parametrize("row", S_BEND, ids=lambda row: f"L {row[0]:.2f}")
def test_s_bend_of_offset_three_tenths(row):
    ahead = np.array([1.0, 0, 0])
    shape = solve(Pose(np.zeros(3), ahead, np.array([1.0, 0.3, 0]), ahead), row[0])
    assert shape.tightest_radius == pytest.approx(row[1], abs=6e-6)
    # From L = 1.08 on the hose bows sideways out of the plane of its nipples.
    assert (np.abs(shape.centreline()[:, 2]).max() < 1e-6) == row[2]


LOOP = [
    (0, 0.15915), (30, 0.14600), (60, 0.13339), (90, 0.12167), (120, 0.11099), (150, 0.10140),
    (180, 0.0929),
]  # fmt: skip


@pytest.mark.parametrize("row", LOOP, ids=lambda row: f"{row[0]} deg")
def test_very_long_hose(row):
    # The table has both ends at one point; here they are 1e-4 of the length apart.
    angle, ratio = np.radians(row[0]), row[1]
    start = np.array([1.0, 0, 0])
    end = np.array([np.cos(angle), np.sin(angle), 0])
    shape = solve(Pose(np.zeros(3), start, np.array([0.0, 0, 1e-4]), end), 1.0)
    assert shape.tightest_radius == pytest.approx(ratio, abs=1e-4)
