"""Natural bend at the bench: what was wrong, and must not come back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

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


def test_directions_as_people_say_them() -> None:
    said = free_job(ELBOW).route.free
    written = free_job(
        {"offset": {"forward": 120, "up": 80}, "nipple_a_points": "up", "nipple_b_points": "back"}
    ).route.free
    assert said == written


def room(result: CutResult) -> float:
    assert result.plan is not None, result.reasons
    assert result.free is not None
    return result.free.sizes[0].room


def test_the_clearance_of_a_cut_by_radius_is_that_of_a_hose(shelf: Catalogue) -> None:
    """A wall above: it is the cover of the hose that keeps clear, not that of the nipple."""
    wall = {"name": "wall", "box": "back 485 mm; up 580 mm", "clearance": "10 mm",
            "size": "forward 1000 mm; left 1000 mm; up 1000 mm"}  # fmt: skip
    job = free_job({**ELBOW, "keep_out": [wall]})
    thin, thick, thickest = (
        cut_for_radius(40.0, job, "mm", outside_diameter=d) for d in (2.0, 8.0, 60.0)
    )
    assert thin.plan is not None
    assert thick.plan is not None
    assert thin.plan.cut == thick.plan.cut
    assert room(thin) - room(thick) == pytest.approx(3)
    told, *advice = thickest.reasons
    assert "route-clearance" in told
    assert "touches wall" in told
    assert advice[-1] == "a formed hose for this route"
    assert not [text for text in advice if ": " in text]
    with pytest.raises(InputError, match="--outside-diameter"):
        cut_for_radius(40.0, job, "mm")
    high = free_job({**ELBOW, "keep_out": [{**wall, "box": "back 485 mm; up 600 mm"}]})
    assert room(cut_for_radius(40.0, high, "mm", catalogue=shelf)) < room(
        cut_for_radius(40.0, high, "mm", outside_diameter=10.0)
    )


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


def test_a_nipple_told_the_wrong_way_round_is_named(unadvised: None) -> None:
    wrong = cut_for_radius(35.0, free_job({**ELBOW, "nipple_a_points": "down"}), "mm")
    assert wrong.plan is not None
    assert any("Nipple A points away" in text for text in wrong.plan.notes)
    refused = cut_for_radius(60.0, free_job({**ELBOW, "nipple_b_points": "forward"}), "mm")
    assert refused.plan is None
    assert any("Nipple B points away" in text for text in refused.reasons)


def test_a_drain_that_hangs_is_neither_picked_nor_cut(shelf: Catalogue, unadvised: None) -> None:
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


@pytest.mark.parametrize("told", [True, False])
def test_lengths_that_rest_on_a_guess_say_on_which(told: bool) -> None:
    nipples = {"outside_diameter": 10, **({"engagement": 25} if told else {})}
    values = {"service": "washer", "nipples": nipples, "route": {"free": ELBOW}}
    plan = cut_for_radius(40.0, read_job(values), "mm").plan
    assert plan is not None
    assert plan.believed is told
    said = [k for k, note in enumerate(plan.notes) if "hold only with 25 mm" in note]
    lengths = [k for k, note in enumerate(plan.notes) if note.startswith(("Shorter", "Errors"))]
    assert lengths
    assert bool(said) is not told
    assert not said or said[0] < min(lengths)
