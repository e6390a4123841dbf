"""The run of a traced hose as a job takes it: as tight as its errors allow, as long as measured."""

from __future__ import annotations

import math

import pytest

from hoseselect.domain.run_parts import Bend
from hoseselect.photo.traced import Measured, Traced, TracedBend

SURE = Measured(0.0, 0.0)


def traced(radius: Measured, angle: float = 90.0) -> Traced:
    straights = (Measured(60.0, 1.0), Measured(180.0, 1.0))
    length = 240.0 + math.radians(angle) * radius.value
    bend = TracedBend(Measured(angle, 1.0), radius, SURE)
    return Traced("a4", Measured(length, 2.0), radius, straights, (bend,), (), 10.0, 1.0, ())


@pytest.mark.parametrize("error", [0.0, 2.0, 9.0, 70.0])
def test_a_bend_counts_as_tight_as_its_error_allows(error: float) -> None:
    own = traced(Measured(60.0, error))
    (bend,) = [part for part in own.parts if isinstance(part, Bend)]
    assert bend.radius == max(1.0, 60.0 - error)
    total = sum(part.length for part in own.parts)
    assert total == pytest.approx(own.length.value, abs=1.0)


def test_what_the_arc_loses_both_straights_gain() -> None:
    first, _, last = traced(Measured(60.0, 10.0)).parts
    assert first.length == pytest.approx(60.0 + 10.0 * math.radians(90) / 2, abs=1.0)
    assert last.length == pytest.approx(180.0 + 10.0 * math.radians(90) / 2, abs=1.0)
