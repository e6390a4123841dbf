"""How a shape gives way to errors of ends and length, against the full equations.

Taylor: a first step from the shape as it was leaves an error that falls as the square of the
change; steps repeated with the stiffness of the shape as it was gain one order each.
The draws: a Kronecker sequence; mean 0 and variance 1 / 3 of an even spread between -1 and 1.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.mechanics.rod import place_draws, response
from hoseselect.mechanics.rod.draws import COLUMNS, DRAWS, draws
from hoseselect.mechanics.rod.newton import Equilibria, relax
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.settle import ROUNDS, settled
from hoseselect.mechanics.rod.solve import smallest_eigenvalues
from hoseselect.mechanics.rod.sweep import first_guess

Array = NDArray[np.float64]
# chord over length, direction at start and at end: an elbow, a U, a slack S, two in space
SHAPES = [
    ((0.55, 0.5, 0.0), (1, 0, 0), (0, 1, 0)),
    ((0.55, 0.0, 0.0), (0, 1, 0), (0, -1, 0)),
    ((0.85, 0.25, 0.0), (1, 0, 0), (1, 0, 0)),
    ((0.62, 0.35, 0.25), (1, 0.2, 0.9), (0.3, 1, -0.4)),
    ((0.55, 0.5, 0.15), (1, -0.6, 0.3), (-0.2, 0.4, 1)),
]
STEADY, SOFT = (0, 1, 3, 4), 2
LENGTH = 250.0


def shape_of(which: int) -> Equilibria:
    chord, start, end = (np.array([row], dtype=float) for row in SHAPES[which])
    shape = first_guess(24, unit(start), unit(end), chord, np.zeros((1, 3)))
    assert shape.settled[0]
    return shape


def changed(shape: Equilibria, share: float, seed: int) -> tuple[Array, Array, Array]:
    """Chord, start and end after a share of 5 mm, 5 degrees and 3 mm of length."""
    step = draws(DRAWS, COLUMNS)[seed]
    length = LENGTH + 3 * share * step[10]
    chord = (shape.chord[0] * LENGTH + 5 * share * step[3:6]) / length
    ends = []
    for tangent, two in ((shape.tangent[0, 0], step[6:8]), (shape.tangent[0, -1], step[8:10])):
        side = across(tangent)
        slope = np.tan(np.radians(5) * share * two)
        ends.append(unit(tangent + slope[0] * side + slope[1] * np.cross(tangent, side)))
    return chord, ends[0], ends[1]


def missed(shape: Equilibria, share: float, seed: int, rounds: int) -> tuple[float, float]:
    """Largest error of a tangent against the full equations, and largest change of one."""
    chord, start, end = changed(shape, share, seed)
    push = np.zeros((1, shape.tangent.shape[1], 3, 1))
    found, sure, _ = settled(
        shape, chord[None, :, None], start[None, :, None], end[None, :, None], push, rounds
    )
    guess = shape.tangent.copy()
    guess[:, 0], guess[:, -1] = start, end
    exact = relax(shape.at, guess, chord[None], np.zeros((1, 3)))
    assert exact.settled[0]
    assert sure[0, 0]
    change = float(np.abs(exact.tangent - shape.tangent).max())
    return float(np.abs(found[..., 0] - exact.tangent).max()), change


@pytest.mark.parametrize("seed", [3, 40])
@pytest.mark.parametrize("which", range(len(SHAPES)))
def test_first_step_is_the_slope(which: int, seed: int) -> None:
    shape = shape_of(which)
    share = 2e-4  # 1e-3 mm and 1e-3 degrees
    error, change = missed(shape, share, seed, rounds=1)
    # The first guess is a shape to 1e-9; what is left is second order in the change.
    assert change > 1e-6
    if smallest_eigenvalues(shape)[0] < response.SOFT:
        # one that turns almost freely is followed in part, and more of the way with every step
        steps = [missed(shape, share, seed, rounds=rounds)[0] for rounds in (1, 3, 9)]
        assert steps == sorted(steps, reverse=True)
        assert steps[-1] < 0.5 * steps[0]
        return
    assert error < max(20 * change**2, 1e-8)
    errors = [missed(shape, part, seed, rounds=1)[0] for part in (0.025, 0.05, 0.1)]
    for less, more in itertools.pairwise(errors):
        assert 3.3 < more / less < 4.8  # twice the change, four times the error


@pytest.mark.parametrize("seed", [3, 40, 77])
@pytest.mark.parametrize("which", STEADY)
def test_full_errors_in_three_steps(which: int, seed: int) -> None:
    """5 mm, 5 degrees and 3 mm: the rounds that are used leave a few parts in a thousand."""
    shape = shape_of(which)
    error, change = missed(shape, 1.0, seed, ROUNDS)
    single, _ = missed(shape, 1.0, seed, rounds=1)
    assert error < 4e-3 * change
    assert error < 0.05 * single


def test_a_shape_about_to_leave_its_plane_is_never_taken_for_wider() -> None:
    """The slack S-bend gives way so easily sideways that three steps do not settle: what is found
    bends tighter than the truth by up to a half, and hardly ever wider.
    """
    shape = shape_of(SOFT)
    ratios = []
    for seed in range(0, DRAWS, 6):
        chord, start, end = changed(shape, 1.0, seed)
        push = np.zeros((1, shape.tangent.shape[1], 3, 1))
        found, _, _ = settled(
            shape, chord[None, :, None], start[None, :, None], end[None, :, None], push
        )
        exact = first_guess(24, start[None], end[None], chord[None], np.zeros((1, 3)))
        ratios.append(bend(shape, found[0, :, :, 0]) / bend(shape, exact.tangent[0]))
    assert min(ratios) > 1 - 5e-3
    assert max(ratios) < 1.6


def bend(shape: Equilibria, tangents: Array) -> float:
    """Largest curvature times length."""
    bends = shape.at.dense @ (shape.at.slope @ tangents)
    return float(np.linalg.norm(bends, axis=1).max())


@pytest.mark.parametrize("columns", [COLUMNS, COLUMNS + 1, COLUMNS + 4])
def test_draws_are_evenly_spread(columns: int) -> None:
    found = draws(DRAWS, columns)
    assert np.abs(found).max() <= 1
    # The error of a mean of 128 random draws is 0.051, of a variance 0.026; an even spread does
    # better on the mean.
    assert np.abs(found.mean(axis=0)).max() < 0.051
    assert np.abs((found**2).mean(axis=0) - 1 / 3).max() < 2 * 0.026
    # No two columns go together: random ones scatter by 0.088; the largest of 120 pairs of them is
    # above 0.32 once in a hundred times.
    matrix = np.corrcoef(found.T) - np.eye(columns)
    assert np.abs(matrix).max() < 0.32


def test_every_eighth_of_the_range_has_its_share() -> None:
    found = np.concatenate([draws(DRAWS, COLUMNS), place_draws(3).T], axis=1)
    for column in found.T:
        counts, _ = np.histogram(column, bins=8, range=(-1, 1))
        # 16 each. Sum of squares over 16 of random draws, 7 degrees of freedom: above 21 in one
        # of fifteen columns once in twenty times.
        assert ((counts - 16) ** 2 / 16).sum() < 21
