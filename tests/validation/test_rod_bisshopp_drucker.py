"""Bisshopp & Drucker, Q. Appl. Math. 3 (1945) 272; Mattiasson, IJNME 17 (1981) 145.

A cantilever with a load across its free end; figures recomputed to six decimals. Two such
cantilevers joined tip to tip by a half turn are a hose between two parallel, offset nipples.
"""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc

from hoseselect.mechanics.rod import Pose, solve

# P L^2 / EI, tip slope [rad], v / L, u / L
TABLE = [
    (1, 0.461352, 0.301721, 0.056433),
    (2, 0.781750, 0.493457, 0.160642),
    (3, 0.986017, 0.603253, 0.254420),
    (5, 1.215368, 0.713792, 0.387628),
    (10, 1.430286, 0.810609, 0.554996),
]
AHEAD = np.array([1.0, 0.0, 0.0])


def exact(load):
    """Tip slope, v and u from the elliptic integrals of the paper."""

    def angle(slope):
        m = (1 + np.sin(slope)) / 2
        return m, np.arcsin(1 / np.sqrt(2 * m))

    def gap(slope):
        m, phi = angle(slope)
        return ellipk(m) - ellipkinc(phi, m) - np.sqrt(load)

    slope = brentq(gap, 1e-6, np.pi / 2 - 1e-9, xtol=1e-14)
    m, phi = angle(slope)
    v = 1 - 2 * (ellipe(m) - ellipeinc(phi, m)) / np.sqrt(load)
    return slope, v, 1 - np.sqrt(2 * np.sin(slope) / load)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"PL2/EI {row[0]}")
def test_table(row):
    assert exact(row[0]) == pytest.approx(row[1:], abs=6e-7)  # six decimals


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"PL2/EI {row[0]}")
def test_two_cantilevers_tip_to_tip(row):
    load = row[0]
    slope, v, u = exact(load)
    pose = Pose(np.zeros(3), AHEAD, np.array([2 * (1 - u), 2 * v, 0.0]), AHEAD)
    shape = solve(pose, 2.0)
    middle = shape.tangents_at(3)[1]
    # The exact pose is taken: six decimals of it would change the load by 2e-4.
    # Forces are found to about a tenth of the promised accuracy of the radius, 1e-4.
    assert np.arctan2(middle[1], middle[0]) == pytest.approx(slope, abs=2e-6)
    assert shape.end_force[1] == pytest.approx(load, rel=1e-5)
    assert shape.end_force[0] == pytest.approx(0.0, abs=1e-5 * load)
    # Moment at the base = load times lever.
    assert np.linalg.norm(shape.start_moment) == pytest.approx(load * (1 - u), rel=1e-5)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"PL2/EI {row[0]}")
def test_one_cantilever_clamped_at_its_own_tip_slope(row):
    load = row[0]
    slope, v, u = exact(load)
    tip = np.array([np.cos(slope), np.sin(slope), 0.0])
    shape = solve(Pose(np.zeros(3), AHEAD, np.array([1 - u, v, 0.0]), tip), 1.0)
    assert shape.end_force[:2] == pytest.approx([0.0, load], abs=1e-5 * load)
    # A tip without load in the book carries no moment.
    assert np.linalg.norm(shape.end_moment) == pytest.approx(0.0, abs=1e-5 * load)
