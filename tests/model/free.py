"""Solved shapes of free routes, made up: the facts that the rules read of them.

How the tool solves a shape is proved against publications and other programs in
`tests/validation`; here it is taken as told, size by size, and any figure may come out.
"""

from __future__ import annotations

import random
from typing import Any

from .tables import limit

RADII = (5.0, 25.0, 40.0, 60.0, 61.5, 80.0, 150.0)
Shape = dict[str, Any]


def random_shape(chance: random.Random) -> Shape:
    """Return the facts of one hose size on a free route; some are not known."""

    def one(*figures: float | None) -> float | None:
        return chance.choice((*figures, *figures, None))

    solved = chance.random() < 0.9
    needed = chance.choice((6.0, 9.0, 12.0))
    return {
        "tip_length": one(120.0, 300.0, 700.0),
        "tightest_radius": one(*RADII, float("inf")) if solved else None,
        "cut_length": one(200.0, 350.0, 760.0),
        "longest_length": one(220.0, 400.0),
        "lead": None,
        "bare_length": None,
        "movement": one(0.0),
        "narrow_window": None,
        "narrow_needed": None,
        "window_width": one(0.0, 3.0, needed, 30.0),
        "window_needed": needed,
        "other_radius": one(*RADII, float("inf")),
        "keep_outs": chance.choice(("yes", "no")),
        "clearance_left": one(-3.0, 0.0, 12.0),
        "error_stood": one(0.0, 1.0, 2.0, 5.0),
        "error_clear": one(0.0, 2.0, 5.0),
        "error_told": chance.choice((1.0, 2.0, 5.0)),
        "set_any_side": one(0.0, 1.0),
        "margin_wanted": limit("free-margin") + chance.choice((0.0, limit("free-margin-twist"))),
        "weight_number": one(0.4, 10.0, 14.0),
    }


NO_SHAPE: Shape = dict.fromkeys(
    (
        "window_width",
        "window_needed",
        "other_radius",
        "clearance_left",
        "error_stood",
        "error_clear",
        "error_told",
        "set_any_side",
        "margin_wanted",
        "weight_number",
    )
) | {"keep_outs": "no"}
"""What is known of a solved shape on a route that is not free."""

OF_JOB = ("movement", "keep_outs", "error_told", "margin_wanted")
"""What is told of the route and is alike for every size."""
