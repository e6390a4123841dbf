"""Matthewson, Kurkjian & Gulati, J. Am. Ceram. Soc. 69 (1986) 815: two-point bending.

A fibre bent between two plates: strain = 1.198 d / (D - d), formula from memory. The exact
constant follows from int_0^pi sqrt(sin) = 2.396280469 and is recomputed here. The fibre
between its points of contact is a hose that makes a U-turn.
"""

import numpy as np
import pytest
from scipy.integrate import quad

from hoseselect.mechanics.rod import Pose, Profile, solve

PLATES = 2.396280469
CONTACT = 2.188440
POSE = Pose(np.zeros(3), np.array([0.0, 1, 0]), np.array([1.0, 0, 0]), np.array([0.0, -1, 0]))


def test_constants():
    across = quad(lambda x: np.sqrt(np.sin(x)), 0, np.pi, epsabs=1e-12)[0]
    # With x = u^2 near both ends the integrand 1 / sqrt(sin) is smooth.
    along = 2 * quad(lambda u: 2 * u / np.sqrt(np.sin(u * u)), 0, np.sqrt(np.pi / 2))[0]
    assert across == pytest.approx(PLATES, abs=1e-9)
    assert along / across == pytest.approx(CONTACT, abs=1e-6)
    assert pytest.approx(1.198, abs=5e-4) == PLATES / 2  # as printed, three decimals


def test_fibre_between_plates():
    shape = solve(POSE, CONTACT)
    assert 1.0 / shape.tightest_radius == pytest.approx(PLATES, rel=1e-6)
    assert shape.tightest_at == pytest.approx(CONTACT / 2, abs=1e-3)
    # Apex 2 R beyond the points of contact.
    apex = shape.centreline(3)[1, 1]
    assert apex == pytest.approx(2.0 * shape.tightest_radius, rel=1e-5)
    # Contact: no moment there, force square to the plates.
    assert np.linalg.norm(shape.end_moment) < 1e-4
    assert shape.end_force[1] == pytest.approx(0.0, abs=1e-4)


def test_constant_is_the_dip_of_the_profile():
    profile = Profile([POSE])
    dip = 1.0 / PLATES
    below, above = profile.window(dip * (1 - 1e-5)), profile.window(dip * (1 + 1e-4))
    assert np.isinf(below.longest)
    assert above.longest < CONTACT < above.loop_from
    assert above.longest == pytest.approx(CONTACT, abs=0.05)  # flat: radius 1e-4 = length 3e-2


# L / W, r / W: U-turn of width W with level ends (computed, five digits)
TABLE = [
    (1.10, 0.06036), (1.20, 0.12204), (1.30, 0.19211), (1.40, 0.27942), (1.50, 0.39417),
    (np.pi / 2, 0.500000), (1.60, 0.48761), (1.80, 0.43866), (2.00, 0.42117),
    (2.188440, 0.417313), (2.40, 0.42063), (3, 0.45032), (4, 0.52418), (6, 0.69548),
    (10, 1.05772),
]  # fmt: skip


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"L/W {row[0]:.3f}")
def test_u_turn(row):
    assert solve(POSE, row[0]).tightest_radius == pytest.approx(row[1], abs=6e-6)
