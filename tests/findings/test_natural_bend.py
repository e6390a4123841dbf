"""Natural bend at the bench: what was wrong, and must not come back."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoseselect.application.cut import CutResult, cut_for_radius
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError

SHELF = Path(__file__).parents[2] / "catalog"
ELBOW = {"offset": "120 mm forward, 80 mm up", "nipple_a_points": "straight up",
         "nipple_b_points": "rearward"}  # fmt: skip


@pytest.fixture(scope="module")
def shelf() -> Catalogue:
    return read_catalogue(SHELF)


def free_job(free: dict[str, Any], service: str = "washer") -> Any:
    nipples = {"outside_diameter": 10, "engagement": 25}
    return read_job({"service": service, "nipples": nipples, "route": {"free": free}})


def pipe(gap: float, result: CutResult) -> dict[str, Any]:
    """Return a pipe of 20 mm across, square to the plane of the bend, so far from the centreline.

    It lies beyond the middle of the bend, on its outer side, and wants 10 mm of air.
    """
    assert result.geometry is not None
    line = result.geometry.centreline
    middle = line[len(line) // 2]
    along = line[len(line) // 2 + 1] - line[len(line) // 2 - 1]
    along /= math.hypot(*along)
    x, _, z = middle + (gap + 10) * np.array([-along[2], 0.0, along[0]])
    ends = [f"forward {x} mm; up {z} mm; {side} 200 mm" for side in ("left", "right")]
    return {"name": "pipe", "rod": ends, "diameter": "20 mm", "clearance": "10 mm"}


def test_directions_as_people_say_them() -> None:
    said = free_job(ELBOW).route.free
    written = free_job(
        {"offset": {"forward": 120, "up": 80}, "nipple_a_points": "up", "nipple_b_points": "back"}
    ).route.free
    assert said == written


def test_the_clearance_of_a_cut_by_radius_is_that_of_a_hose(shelf: Catalogue) -> None:
    """15 mm from the centreline: room for a hose of 10 mm with 10 mm of air, for none thicker."""
    bare = cut_for_radius(40.0, free_job(ELBOW), "mm")
    job = free_job({**ELBOW, "keep_out": [pipe(15.5, bare)]})
    assert cut_for_radius(40.0, job, "mm", outside_diameter=10.0).plan is not None
    assert "too near" in cut_for_radius(40.0, job, "mm", outside_diameter=12.0).reasons[0]
    assert "too near" in cut_for_radius(40.0, job, "mm", catalogue=shelf).reasons[0]
    with pytest.raises(InputError, match="--outside-diameter"):
        cut_for_radius(40.0, job, "mm")


def test_the_thickest_hose_that_fits_is_named_and_drawn(shelf: Catalogue) -> None:
    result = cut_for_radius(40.0, free_job(ELBOW), "mm", catalogue=shelf)
    assert result.plan is not None
    assert result.geometry is not None
    said = next(text for text in result.plan.notes if text.startswith("Outside diameter"))
    name = said.partition("that of ")[2].partition(",")[0]
    size = shelf.sizes.index_of(name)
    outside = float(shelf.sizes.outside_diameter[size])
    assert result.geometry.outside_diameter == outside > 10
    assert shelf.sizes.bore[size] == pytest.approx(10, abs=1)


def test_a_nipple_told_the_wrong_way_round_is_named() -> None:
    wrong = cut_for_radius(35.0, free_job({**ELBOW, "nipple_a_points": "down"}), "mm")
    assert wrong.plan is not None
    assert any("Nipple A points away" in text for text in wrong.plan.notes)
    refused = cut_for_radius(60.0, free_job({**ELBOW, "nipple_b_points": "forward"}), "mm")
    assert refused.plan is None
    assert any("Nipple B points away" in text for text in refused.reasons)


def test_a_drain_that_hangs_is_neither_picked_nor_cut(shelf: Catalogue) -> None:
    hangs = {"offset": "forward 200 mm, down 20 mm", "nipple_a_points": "forward and 60 deg down",
             "nipple_b_points": "back"}  # fmt: skip
    job = free_job(hangs, "turbo-oil-drain")
    assert not pick_hose(job, shelf).suiting
    assert cut_for_radius(40.0, job, "mm").plan is None


def test_no_figure_of_a_straight_route_is_infinite(shelf: Catalogue) -> None:
    straight = {"offset": "forward 300 mm", "nipple_a_points": "forward", "nipple_b_points": "back"}
    result = cut_for_radius(900.0, free_job(straight), "mm")
    words = [*result.reasons, *pick_hose(free_job(straight), shelf).way_out]
    words += result.plan.notes if result.plan else ()
    assert not [text for text in words if " inf" in text or "nan" in text]
