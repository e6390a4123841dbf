"""Clamps against 33 CFR 183.558(c), 183.560 and 183.564 (boats; good practice on road vehicles).

183.560: clamp only on hose made for clamps; beyond the bead or flare or over the serrations; on
boats not by spring tension alone.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.catalogue.columns import Catalogue
from hoseselect.cutplan.clamp_choice import clamp_choices
from hoseselect.domain.job import Nipple

Judge = Callable[..., Any]


def nipple(bead: Any) -> Nipple:
    return Nipple(outside_diameter=9.5, bead=bead, usable_length=30, engagement=25)


def test_clamp_sits_beyond_the_bead(catalogue: Catalogue) -> None:
    size = catalogue.sizes.index_of("F03-9.5")
    choices = clamp_choices(catalogue, size, nipple("yes"), "fuel-return")
    assert choices
    for choice in choices:
        assert "behind the bead" in choice.position
        assert "fully over the nipple" in choice.position


def test_band_has_room_behind_the_bead(catalogue: Catalogue) -> None:
    """8 mm of nipple hold no band with a tail of hose beyond it: no clamp is named."""
    size = catalogue.sizes.index_of("F03-9.5")
    short = Nipple(outside_diameter=9.5, bead="yes", usable_length=8, engagement=8)
    assert clamp_choices(catalogue, size, short, "fuel-return") == ()


@pytest.mark.parametrize(
    "service", ["fuel-return", "fuel-feed-low-pressure", "fuel-injection-feed", "coolant-heater"]
)
def test_without_bead_a_clamped_line_is_refused(judge: Judge, service: str) -> None:
    """Bead or flare, here on fuel and coolant; without it nothing lies beyond which to clamp."""
    hose = {"marking": "j30-r9;j20-r3"}
    fluids = ["petrol"] if service.startswith("fuel") else []
    assert "fit-bead" not in judge(hose, service, fluids=fluids).refused_by
    bare = judge(hose, service, fluids=fluids, bead="no")
    assert "fit-bead" in bare.refused_by
    assert bare.hose.cut is None


@pytest.mark.parametrize(
    "service", ["crankcase-breather", "engine-oil-cooler", "brake-servo-vacuum"]
)
def test_clamp_only_on_hose_made_for_clamps(judge: Judge, service: str) -> None:
    """183.560(a): the same hose, made for clamps and not."""
    hose = {"liner": "FKM", "marking": "fmvss106-vh" if service.startswith("brake") else ""}
    assert judge(hose, service).word == "accept"
    other = judge({**hose, "made_for_clamps": "no"}, service)
    assert other.word == "reject"
    assert other.hose.cut is None


def test_boats_are_stopped(stops_of: Callable[..., set[str]]) -> None:
    """183.558(a): fire-tested hose under a law of its own."""
    for service in ("fuel-return", "coolant-heater"):
        assert "boat" in stops_of(service, place="boat")
