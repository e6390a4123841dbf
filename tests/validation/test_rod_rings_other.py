"""Other stable shapes of a hose through rings: symmetry, equilibrium and least energy.

Exact: the mirror image of a shape is a shape where the route is its own mirror image, and a hose
that turns about the line of its rings without any force has one shape, not many.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, others_through_rings, through_rings
from hoseselect.mechanics.rod.ring_descent import descend
from hoseselect.mechanics.rod.ring_search import RingSearch
from hoseselect.mechanics.rod.rings import RingShape

AHEAD = np.array([1.0, 0.0, 0.0])
TIGHT = Pose(np.zeros(3), np.array([0.0, -1.0, 0.0]), np.array([-248.0, -91.0, 55.0]), -AHEAD)
TIGHT_RINGS = [np.array([-44.0, -87.0, 21.0]), np.array([-147.0, -100.0, 43.0])]
FLAT = Pose(
    np.zeros(3), np.array([0.0, 0.0, 1.0]), np.array([220.0, 0.0, 0.0]), np.array([0, 0, -1.0])
)
FLAT_RING = [np.array([110.0, 0.0, 20.0])]


def found(pose: Pose, rings: list[np.ndarray], length: float) -> list[RingShape]:
    first = through_rings(pose, rings, length)
    (others,) = others_through_rings([(pose, rings, length)], [first])
    return [first, *others]


def in_rings(shape: RingShape) -> np.ndarray:
    return np.array([span.tangents[-1] for span in shape.shapes[:-1]])


CASES = [(TIGHT, TIGHT_RINGS, 345.0), (FLAT, FLAT_RING, 300.0)]


@pytest.mark.parametrize(("pose", "rings", "length"), CASES)
def test_every_other_way_is_at_rest_and_another(
    pose: Pose, rings: list[np.ndarray], length: float
) -> None:
    shapes = found(pose, rings, length)
    assert len(shapes) > 1
    for number, shape in enumerate(shapes):
        assert sum(span.length for span in shape.shapes) == pytest.approx(length)
        for before, behind in zip(shape.shapes[:-1], shape.shapes[1:], strict=True):
            assert before.tangents[-1] == pytest.approx(behind.tangents[0], abs=1e-9)
            gap = np.linalg.norm(before.end_moment + behind.start_moment)
            assert gap < 5e-3 * max(float(np.linalg.norm(before.end_moment)), 0.01)
        for other in shapes[:number]:
            apart = np.abs(in_rings(shape) - in_rings(other)).max()
            lengths = [[span.length for span in one.shapes] for one in (shape, other)]
            assert apart > 0.02 or np.abs(np.subtract(*lengths)).max() > 0.02 * length


@pytest.mark.parametrize(("pose", "rings", "length"), CASES)
def test_near_each_other_way_no_energy_is_less(
    pose: Pose, rings: list[np.ndarray], length: float
) -> None:
    search = RingSearch([(pose, rings, length)])
    rows = np.zeros(1, dtype=np.int64)
    chance = np.random.default_rng(4)
    for shape in found(pose, rings, length):
        x = unknowns(search, shape)
        here, good = descend(search, x)
        assert good.all()
        assert here == pytest.approx(x, abs=2e-2)
        least = float(search.relaxed(here, rows)[0][0])
        for _ in range(12):
            away = here + 0.02 * chance.normal(size=here.shape)
            assert float(search.relaxed(away, rows)[0][0]) > least


def unknowns(search: RingSearch, shape: RingShape) -> np.ndarray:
    """Turns and shares of a shape: directions over their part along the base, logarithms."""
    ways = in_rings(shape)
    along = np.einsum("ri,ri->r", ways, search.base[0])
    turns = np.einsum("ri,rki->rk", ways, search.sides[0]) / along[:, None]
    spare = np.array([span.length for span in shape.shapes]) - search.distances[0]
    share = np.log(spare / search.distances[0])
    return np.concatenate([turns.ravel(), share[:-1] - share[-1]])[None]


def test_a_mirror_image_is_another_way() -> None:
    """The route lies in a plane: a shape that leaves it has its image on the other side."""
    shapes = found(FLAT, FLAT_RING, 300.0)
    aside = [in_rings(shape) for shape in shapes if np.abs(in_rings(shape)[:, 1]).max() > 0.05]
    assert aside
    for ways in aside:
        image = ways * np.array([1.0, -1.0, 1.0])
        assert min(np.abs(image - other).max() for other in aside) < 0.03


def test_a_hose_that_turns_freely_has_no_other_way_for_each_side() -> None:
    """Both ends and the ring on one line: every turn about it is the same shape."""
    pose = Pose(np.zeros(3), AHEAD, np.array([200.0, 0.0, 0.0]), AHEAD)
    first = through_rings(pose, [np.array([100.0, 0.0, 0.0])], 215.0)
    (others,) = others_through_rings([(pose, [np.array([100.0, 0.0, 0.0])], 215.0)], [first])
    for other in others:
        assert abs(other.energy / first.energy - 1) > 1e-6


def test_many_routes_keep_their_own_other_ways() -> None:
    ring = [np.array([110.0, 0.0, 20.0])]
    cases = [(FLAT, ring, length) for length in (250.0, 300.0)]
    first = [through_rings(*case) for case in cases]
    both = others_through_rings(cases, first)
    for case, known, own in zip(cases, first, both, strict=True):
        (alone,) = others_through_rings([case], [known])
        assert [one.energy for one in own] == pytest.approx([one.energy for one in alone], rel=1e-6)
    assert others_through_rings([], []) == []
