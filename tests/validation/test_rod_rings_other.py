"""Other stable shapes of a hose through rings: symmetry, equilibrium and least energy.

Exact: the mirror image of a shape is a shape where the route is its own mirror image, and a hose
that turns about the line of its rings without any force has one shape, not many.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, others_through_rings, through_rings, unit
from hoseselect.mechanics.rod.ring_descent import descend
from hoseselect.mechanics.rod.ring_search import RingSearch
from hoseselect.mechanics.rod.rings import RingShape

Way = tuple[float, float, float]
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
    chance = np.random.default_rng(4)
    for shape in found(pose, rings, length):
        search = RingSearch([(pose, rings, length)], ways=in_rings(shape)[None])
        here, good = descend(search, unknowns(search, shape))
        assert good.all()
        assert search.base[0] == pytest.approx(in_rings(shape), abs=2e-2)
        least = float(search.relaxed(here, FIRST)[0][0])
        for _ in range(12):
            away = here + 0.02 * chance.normal(size=here.shape)
            assert float(search.relaxed(away, FIRST)[0][0]) > least


FIRST = np.zeros(1, dtype=np.int64)


def unknowns(search: RingSearch, shape: RingShape) -> np.ndarray:
    """No turns from the directions of a shape, and its shares as logarithms, (1, 3 R)."""
    spare = np.array([span.length for span in shape.shapes]) - search.distances[0]
    share = np.log(spare / search.distances[0])
    return np.concatenate([np.zeros(2 * search.count), share[:-1] - share[-1]])[None]


def route(
    a: Way, b: Way, end: Way, rings: tuple[Way, ...], length: float
) -> tuple[Pose, list[np.ndarray], float]:
    """Pose, rings and length of figures."""
    first, last = (unit(np.array(way, dtype=float)) for way in (a, b))
    places = [np.array(place, dtype=float) for place in rings]
    return Pose(np.zeros(3), first, np.array(end, dtype=float), last), places, length


SEVERAL = [
    route((0.03, 0.94, 0.33), (0.14, 0.98, 0.15), (-1, 260, 97),
          ((-22, 64, 44), (20, 106, 42), (-84, 182, -6)), 601.0),
    route((0.3, -1.2, -0.4), (-0.3, -0.1, 1.4), (323, -80, 126),
          ((81, -50, -9), (179, -79, -9), (281, -91, 46)), 585.0),
    route((1.3, -0.6, -0.6), (1.0, -0.2, -0.6), (225, -8, -99), ((143, -94, 32),), 497.0),
    route((0.3, -1.8, 0.0), (0.4, -0.3, -1.7), (81, -248, -160), ((42, -237, 81),), 739.0),
]  # fmt: skip


@pytest.mark.parametrize(("pose", "rings", "length"), SEVERAL)
def test_what_a_search_from_anywhere_finds_is_found(
    pose: Pose, rings: list[np.ndarray], length: float
) -> None:
    """48 searches from unknowns drawn by chance; ways of up to 2.2 times the least energy."""
    ours = found(pose, rings, length)
    energies = [shape.energy * length for shape in ours]
    chance = np.random.default_rng(2)
    search = RingSearch([(pose, rings, length)] * 48)
    size = np.concatenate([np.ones(2 * search.count), np.full(search.count, 2.5)])
    x, good = descend(search, search.guess() + size * chance.normal(size=(48, search.size)))
    energy, _ = search.relaxed(x, np.arange(48))
    seen = np.flatnonzero(good & (energy < 2.2 * min(energies)))
    assert len(seen) > 10
    for row in seen:
        nearest = min(np.abs(in_rings(shape) - search.base[row]).max() for shape in ours)
        assert nearest < 0.03
    assert max(energies) > 1.01 * min(energies)  # another way, and no mirror image alone


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
    assert others == ()


def test_many_routes_keep_their_own_other_ways() -> None:
    ring = [np.array([110.0, 0.0, 20.0])]
    cases = [(FLAT, ring, length) for length in (250.0, 300.0)]
    first = [through_rings(*case) for case in cases]
    both = others_through_rings(cases, first)
    for case, known, own in zip(cases, first, both, strict=True):
        (alone,) = others_through_rings([case], [known])
        assert [one.energy for one in own] == pytest.approx([one.energy for one in alone], rel=1e-6)
    assert others_through_rings([], []) == []
