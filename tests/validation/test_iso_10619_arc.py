"""Arc of a bend against the test piece of ISO 10619-3:2011, plate method.

Length of the piece: 2 G + 0.5 pi (C + D), with G the length held at each end, C twice the least
bend radius and D the outside diameter. So the radius is that of the inner side of the bend.
"""

from __future__ import annotations

import math

import pytest

from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.mechanics.bends import bend_arc, centreline_radius
from hoseselect.mechanics.run import Run


@pytest.mark.parametrize(("inside", "outside"), [(50.0, 16.5), (75.0, 20.6), (40.0, 13.0)])
def test_test_piece(inside: float, outside: float) -> None:
    """The formula of the standard and a run of two held ends and a half turn are the same."""
    held = 60.0
    piece = 2 * held + 0.5 * math.pi * (2 * inside + outside)
    radius = float(centreline_radius(inside, outside))
    run = Run((Straight(held), Bend(180, radius), Straight(held)))
    assert run.length == pytest.approx(piece, rel=1e-14)


@pytest.mark.parametrize(
    ("angle", "inside", "outside", "arc"),
    [(180, 50, 16.5, 183.0), (90, 50, 16.5, 91.5), (90, 75, 20.6, 134.0)],
)
def test_worked_arcs(angle: float, inside: float, outside: float, arc: float) -> None:
    """Worked by hand, rounded to 0.1 mm."""
    ours = bend_arc(angle, centreline_radius(inside, outside))
    assert float(ours) == pytest.approx(arc, abs=0.051)


@pytest.mark.parametrize(
    ("parts", "tip"),
    [
        ((Straight(60), Bend(90, 110), Straight(180)), 412.8),
        ((Straight(120), Bend(45, 120), Straight(90)), 304.2),
    ],
)
def test_worked_runs(parts: tuple[Straight | Bend, ...], tip: float) -> None:
    """Common practice: the path is the straights and the arcs; worked by hand to 0.1 mm."""
    assert Run(parts).length == pytest.approx(tip, abs=0.051)
