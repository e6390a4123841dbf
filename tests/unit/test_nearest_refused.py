"""The hose that is named where nothing suits is the one that misses by least; bore comes first."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

from hoseselect import Catalogue, answer_many, pick, read_catalogue, read_job
from hoseselect.catalogue.columns import CatalogueClamps
from hoseselect.interfaces.cli.first_screen import first_screen

LINE = {
    "service": "fuel return line",
    "nipples": {"outside_diameter": "6 mm"},
    "route": {"measured": "300 mm"},
}


@pytest.fixture(scope="module")
def shop() -> Catalogue:
    return read_catalogue()


def of_bore(bore: float, **more: Any) -> dict[str, Any]:
    ends = {"bore_mm": bore, "bore_min_mm": bore - 0.2, "bore_max_mm": bore + 0.2}
    return {**ends, "outside_diameter_mm": bore + 6, **more}


@pytest.mark.parametrize(
    ("bores", "nearest"),
    [
        ((12.7, 11.2, 14.0), "H2-1"),
        ((11.2, 12.7, 8.0), "H1-1"),
        ((14.0, 8.0, 12.7), "H2-1"),
        ((8.0, 14.0), "H1-1"),
    ],
)
def test_the_bore_that_misses_by_least_is_nearest(
    bench: Any, bores: tuple[float, ...], nearest: str
) -> None:
    """The nipple is 10 mm; too tight and too loose are both measured from it."""
    plain = {"nipples.bead": "no", "nipples.bead_diameter": "left out"}
    answer = bench.answer(*(of_bore(bore) for bore in bores), changes=plain)
    assert answer.lead.verdict.word == "reject"
    assert answer.lead.decided_by in {"fit-stretch", "fit-loose"}
    assert answer.lead.hose == answer.hoses[0].hose == nearest


def test_fewer_refusals_come_before_a_smaller_miss(bench: Any) -> None:
    answer = bench.answer(of_bore(11.2, least_bend_radius_mm=900), of_bore(12.7))
    assert [hose.hose for hose in answer.hoses] == ["H2-1", "H1-1"]


def test_a_hose_that_fits_but_must_not_be_used_is_not_nearer(bench: Any) -> None:
    changes = {"service": "coolant-heater", "duty.fluid_steady": 110, "duty.fluid_peak": 115}
    answer = bench.answer({"liner": "NBR"}, of_bore(14.0, liner="EPDM"), changes=changes)
    assert answer.lead.hose == "H2-1"


def test_the_nearest_hose_is_named_and_the_bore_to_order_stands_first(shop: Catalogue) -> None:
    answer = pick(read_job(LINE), shop)
    told = answer.summary
    named = told.why.partition(":")[0].rpartition(" ")[2]
    misses = [hose for hose in answer.hoses if hose.decided_by in {"fit-stretch", "fit-loose"}]
    assert named == answer.hoses[0].hose
    assert abs(answer.hoses[0].bore - 6) == min(abs(hose.bore - 6) for hose in misses)
    assert told.go_to.startswith("Order hose with bore for a 6 mm nipple; liner of ")
    screen = "\n".join(first_screen(told, "mm"))
    assert "instead  Order hose with bore for a 6 mm nipple; " in screen
    among, _ = answer_many([read_job(LINE), read_job({"service": "washer hose"})], shop)
    assert among.lead is not None
    assert (among.lead.hose, among.way_out) == (named, answer.way_out)


def test_the_bore_to_order_does_not_stand_first_where_it_is_not_what_fails(bench: Any) -> None:
    changes = {"service": "coolant-heater", "duty.fluid_steady": 110, "duty.fluid_peak": 115}
    order = bench.answer({"liner": "NBR"}, changes=changes).way_out[0]
    assert order.startswith("Order hose with liner of ")
    assert "bore for a 10 mm nipple" in order


def test_what_no_other_hose_mends_is_told_before_a_hose_to_order(shop: Catalogue) -> None:
    """A bead that is missing, a clamp that is not on the shelf."""
    bare = {"outside_diameter": "16 mm", "bead": "no"}
    told = {"service": "heater hose", "nipples": bare, "route": {"measured": "400 mm"}}
    first, second, *_ = pick(read_job(told), shop).way_out
    assert first.startswith("Form a bead or flare")
    assert second.startswith("Order hose with")
    small = shop.clamps.range_max < 16
    columns = {own.name: getattr(shop.clamps, own.name)[small] for own in fields(shop.clamps)}
    none = replace(shop, clamps=CatalogueClamps(**columns))
    beaded = read_job({**told, "nipples": {**bare, "bead": "yes"}})
    first, *_ = pick(beaded, none).way_out
    assert first == "Order a clamp for the outside diameter on the nipple."
