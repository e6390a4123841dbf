"""A shape is refused, never guessed: every case is provoked here."""

from dataclasses import replace

import numpy as np
import pytest

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import Pose, Profile, others_many, placements, solve, solve_many

AHEAD, SIDE = np.array([1.0, 0, 0]), np.array([0.0, 1, 0])
ELBOW = Pose(np.zeros(3), AHEAD, np.array([100.0, 100, 0]), SIDE)


def positions(pose, movement):
    """The pose at rest and at every corner of a movement."""
    return [pose.moved(one.shift) for one in placements(movement)]


def shapes(pose, length):
    """All stable shapes that are found, least energy first."""
    first = solve(pose, length)
    (others,) = others_many([(pose, length)], [first])
    return sorted([first, *others], key=lambda one: one.energy)


@pytest.mark.parametrize(
    "change",
    [
        {"start_direction": np.zeros(3)}, {"end_direction": 2 * AHEAD}, {"end": np.zeros(3)},
        {"end": np.array([np.nan, 0, 0])}, {"start": np.array([1.0, 2.0])},
        {"end_direction": np.array([np.inf, 0, 0])},
    ],
)  # fmt: skip
def test_pose_that_cannot_be(change):
    with pytest.raises(InputError):
        replace(ELBOW, **change)


@pytest.mark.parametrize("length", [0.0, -5.0, float("nan"), float("inf")])
def test_length_that_cannot_be(length):
    with pytest.raises(InputError):
        solve(ELBOW, length)


@pytest.mark.parametrize("length", [100.0, 141.0, ELBOW.distance])
def test_taut(length):
    with pytest.raises(SolveError, match="taut"):
        solve(ELBOW, length)
    assert solve_many([(ELBOW, length)]) == [None]


@pytest.mark.parametrize("radius", [0.0, -1.0, float("nan"), float("inf")])
def test_radius_that_cannot_be(radius):
    with pytest.raises(InputError):
        Profile([ELBOW]).window(radius)


def test_weight_needs_a_direction():
    with pytest.raises(InputError):
        solve(ELBOW, 200.0, 5.0)
    with pytest.raises(InputError):
        solve(ELBOW, 200.0, -5.0, np.array([0, 0, -1.0]))


def test_movement_that_cannot_be():
    with pytest.raises(InputError):
        positions(ELBOW, np.array([1.0, -1, 0]))


def test_no_rest_is_refused(monkeypatch):
    from hoseselect.mechanics.rod import newton

    monkeypatch.setattr(newton, "ROUNDS", 0)
    with pytest.raises(SolveError, match="no shape at rest"):
        solve(ELBOW, 200.0)


def test_rough_invariant_is_refused(monkeypatch):
    import importlib

    module = importlib.import_module("hoseselect.mechanics.rod.solve")
    monkeypatch.setattr(module, "LADDER", (24,))
    tight = Pose(np.zeros(3), -AHEAD, np.array([100.0, 0, 0]), -AHEAD)
    with pytest.raises(SolveError, match=r"not exact enough|not settled"):
        solve(tight, 101.0)


def test_unstable_shape_is_refused(monkeypatch):
    """A plane S-bend held in its plane: stable there, not in space."""
    import importlib

    module = importlib.import_module("hoseselect.mechanics.rod.solve")
    newton = importlib.import_module("hoseselect.mechanics.rod.newton")
    pose = Pose(np.zeros(3), AHEAD, np.array([1.0, 0.3, 0]), AHEAD)
    monkeypatch.setattr(newton, "KICK", 0.0)
    monkeypatch.setattr(newton, "ROUNDS", 20)
    monkeypatch.setattr(module, "LADDER", (24,))
    with pytest.raises(SolveError, match="unstable shape"):
        module.solve(pose, 1.5)


def test_two_shapes_with_different_verdicts_are_both_found():
    """Search a route whose two stable shapes differ in their tightest radius."""
    rng = np.random.default_rng(5)
    for _ in range(200):
        ways = rng.normal(size=(3, 3))
        ways /= np.linalg.norm(ways, axis=1)[:, None]
        pose, length = Pose(np.zeros(3), ways[0], 200 * ways[1], ways[2]), 200 * rng.uniform(2, 4)
        found = shapes(pose, length)
        if len(found) > 1 and found[1].tightest_radius < 0.9 * found[0].tightest_radius:
            break
    else:
        pytest.fail("no such route among 200")
    for shape in found:
        assert shape.diagnostics.converged
        assert shape.diagnostics.smallest_eigenvalue > -1e-7
        assert shape.centreline()[-1] == pytest.approx(pose.end, abs=1e-6)


def test_energies_are_sorted_and_shapes_differ():
    ahead = np.array([1.0, 0, 0])
    found = shapes(Pose(np.zeros(3), ahead, np.array([1.0, 0.3, 0]), ahead), 1.5)
    # Bows to either side of its plane: mirror twins of equal energy.
    assert len(found) >= 2
    energies = [shape.energy for shape in found]
    assert energies == sorted(energies)
    assert found[0].energy == pytest.approx(found[1].energy, rel=1e-9)
    assert found[0].centreline()[48, 2] == pytest.approx(-found[1].centreline()[48, 2], abs=1e-6)
