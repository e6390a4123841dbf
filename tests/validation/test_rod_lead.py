"""A lead at the nipples: first length that the hose end holds straight.

A straight length at a clamped end is exactly a shorter hose whose end is moved along the nipple,
so every closed form of a hose between clamped ends holds for what is left.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ellipe, ellipk

from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.domain.free_route import FreeRoute, KeepOut

D = 200.0


def solution(mouth: tuple[float, float, float], b: tuple[float, float, float],
             a: tuple[float, float, float], lead: float) -> FreeSolution:  # fmt: skip
    return FreeSolution(FreeRoute(mouth, a, b, lead=lead), 20.0)


@pytest.mark.parametrize("lead", [0.0, 5.0, 10.0, 25.0])
def test_u_turn_between_parallel_nipples(lead: float) -> None:
    """Nipples side by side that point the same way: the best bend is half a circle of D / 2,
    whatever the lead, on a hose longer by both leads; its window begins later by both leads.
    """
    u_turn = solution((D, 0, 0), (0, 0, 1), (0, 0, 1), lead)
    lie = u_turn.lie((np.pi * D / 2 + 2 * lead,))
    assert lie is not None
    assert lie.tightest_radius == pytest.approx(D / 2, rel=1e-7)
    assert lie.centreline[:, 2].max() == pytest.approx(D / 2 + lead, rel=1e-5)
    best, length = u_turn.best()
    assert best == pytest.approx(D / 2, rel=2e-4)
    assert length == pytest.approx(np.pi * D / 2 + 2 * lead, abs=0.05)
    # Shortest length for 0.45 D in closed form (symmetric bends, elliptic integrals)
    ((window,),) = u_turn.windows(np.array([0.45 * D]))
    assert window.shortest == pytest.approx(1.53940914 * D + 2 * lead, abs=1e-4 * D)


@pytest.mark.parametrize("lead", [0.0, 10.0, 30.0])
@pytest.mark.parametrize("slope", [40.0, 80.0, 120.0])
def test_s_bend_of_two_columns(slope: float, lead: float) -> None:
    """An S of two elastica columns base to tip, point-symmetric about its middle, carries no
    moment there (Timoshenko & Gere, art. 2.7: x = 2 E / K - 1, y = 2 k / K, k_max = 2 k K of a
    column of length 1, from memory).
    """
    k = np.sin(np.radians(slope) / 2)
    big_k, big_e = float(ellipk(k * k)), float(ellipe(k * k))
    column = 100.0
    x, y = column * (2 * big_e / big_k - 1), column * 2 * k / big_k
    # Both bases are clamped along x; the lead moves the mouths back along it.
    mouth = (2 * x + 2 * lead, 2 * y, 0.0)
    s_bend = solution(mouth, (-1, 0, 0), (1, 0, 0), lead)
    lie = s_bend.lie((2 * column + 2 * lead,))
    assert lie is not None
    exact = column / (2 * k * big_k)
    assert lie.tightest_radius == pytest.approx(exact, rel=1e-4)


@pytest.mark.parametrize("lead", [8.0, 20.0])
def test_lead_is_a_moved_pose(lead: float) -> None:
    """In space: the same bend as a route whose mouths stand at the ends of the leads."""
    a, b = np.array([0.6, 0.0, 0.8]), np.array([-0.48, 0.6, 0.64])
    mouth = np.array([150.0, 60.0, 40.0])
    with_lead = FreeSolution(FreeRoute(tuple(mouth), tuple(a), tuple(b), lead=lead), 20.0)
    shifted = mouth + lead * b - lead * a
    without = FreeSolution(FreeRoute(tuple(shifted), tuple(a), tuple(b)), 20.0)
    one, other = with_lead.lie((280.0 + 2 * lead,)), without.lie((280.0,))
    assert one is not None
    assert other is not None
    assert one.tightest_radius == pytest.approx(other.tightest_radius, rel=1e-9)
    assert one.tightest_at == pytest.approx(other.tightest_at + lead, abs=1e-6)
    # Near nipple A the straight length counts too.
    ball = KeepOut(
        "ball", "ball", (tuple(0.25 * lead * a + np.array([0.0, 30, 0])),), (10, 0, 0), 5
    )
    assert least_distance(one, ball) == pytest.approx(25.0, abs=0.05)
    plain = FreeSolution(FreeRoute(tuple(mouth), tuple(a), tuple(b)), 20.0)
    assert plain.lie((280.0,)).tightest_radius != pytest.approx(one.tightest_radius, rel=1e-2)
