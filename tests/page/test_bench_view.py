"""The bench on the page: every way of telling a route, the drawing, the shape along the lengths."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from hoseselect.application.pick import pick_hose
from hoseselect.application.shape_at import shape_at
from hoseselect.interfaces.page.address import address_of
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import InputError

from .seen import pairs_of, seen

FORM = {
    "service": "heater hose",
    "nipple_a.outside_diameter": "16 mm",
    "nipple_b.outside_diameter": "",
    "bead": "yes",
    "fixed": "both_engine",
}
FREE = {
    "way": "free",
    "free:route.free.offset": "250 mm forward, 120 mm up",
    "free:route.free.nipple_a_points": "up",
    "free:route.free.nipple_b_points": "back",
    "free:route.free.movement": "none",
}
WAYS = {
    "measured": {"measured:route.measured": "400 mm", "measured:route.tightest_radius": "150 mm"},
    "run": {"run:route.run": "60 mm; 90 deg at 130 mm; 180 mm"},
    "flat": {
        "flat:route.free.flat.distance": "280 mm",
        "flat:route.free.flat.angle_a": "60 deg",
        "flat:route.free.flat.angle_b": "60 deg",
        "flat:route.free.movement": "0 mm",
    },
    "wire": {"wire:route.free.wire": "80 mm; 90 deg at 130 mm; 120 mm"},
}


def told(client: TestClient, **more: str) -> str:
    return client.get("/bench", params={**FORM, **more}).text


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_telling_a_route_leads_to_a_hose(client: TestClient, way: str) -> None:
    page = told(client, way=way, **WAYS[way])
    assert "USE" in seen(page)
    assert ("<svg" in page) == (way != "measured")


def test_the_bench_tells_what_the_terminal_tells(client: TestClient, shop: Shop) -> None:
    page = client.get("/bench", params={**FORM, **FREE})
    job = address_of(pairs_of(page)).interviewing.job()
    answer = pick_hose(job, shop.catalogue)
    assert answer.summary.hose in seen(page.text)
    assert "Lengths that work" not in seen(page.text)  # nobody knows how long the nipples are
    assert 'type="range"' in page.text
    known = client.get("/bench", params={**FORM, **FREE, "usable": "25 mm"})
    assert "Lengths that work" in seen(known.text)


def test_a_shape_at_another_length(client: TestClient, shop: Shop) -> None:
    page = client.get("/bench", params={**FORM, **FREE})
    chosen = client.get("/bench/shape", params=pairs_of(page)).json()
    answer = pick_hose(address_of(pairs_of(page)).interviewing.job(), shop.catalogue)
    (hose, *_), curve = answer.suits, answer.suits[0].curve
    assert curve is not None
    for cut in (curve.chosen, *curve.window):
        at = shape_at(hose, float(cut))
        radius = float(curve.radius[abs(curve.cut - cut).argmin()])
        assert at.tightest == pytest.approx(radius, rel=0.01)
    longest = {"length": f"{curve.window[1]:.0f} mm"}
    longer = client.get("/bench/shape", params=[*pairs_of(page), *longest.items()]).json()
    assert longer["works"] in {True, False}
    assert longer["line"] != chosen["line"]
    far = {"length": f"{2 * curve.cut[-1]:.0f} mm"}
    refused = client.get("/bench/shape", params=[*pairs_of(page), *far.items()])
    assert refused.status_code == 422
    with_it = client.get("/bench", params=[*pairs_of(page), *longest.items()])
    assert "At this length" in seen(with_it.text)


def test_what_lies_beside_the_route_counts(client: TestClient) -> None:
    near = {
        "keep_out.1.name": "exhaust",
        "keep_out.1.at": "150 mm forward, 10 mm down, 100 mm left",
        "keep_out.1.to": "150 mm forward, 10 mm down, 100 mm right",
        "keep_out.1.size": "50 mm",
        "keep_out.1.kind": "rod",
        "keep_out.1.hot": "yes",
    }
    page = client.get("/bench", params={**FORM, **FREE, **near})
    words = seen(page.text)
    assert "too near to what it must keep clear of" in words
    assert "No length works" in page.text
    assert 'type="range"' not in page.text
    with pytest.raises(InputError, match="length"):
        answer = pick_hose(address_of(pairs_of(page)).interviewing.job(), Shop().catalogue)
        shape_at(answer.hoses[0], 300.0)
    assert 'value="exhaust"' in page.text


def test_a_route_told_anew_replaces_the_old_one(client: TestClient) -> None:
    page = client.get("/bench", params={**FORM, **FREE})
    kept = dict(pairs_of(page))
    again = client.get("/bench", params={**kept, **FORM, "way": "run", **WAYS["run"]})
    assert "route.free" not in str(again.url)
    assert "route.run" in str(again.url)


def test_what_cannot_be_used_is_said_and_nothing_typed_is_lost(client: TestClient) -> None:
    page = told(client, **{**FREE, "free:route.free.offset": "sideways a bit"})
    assert "sideways a bit" in page
    assert "found" in seen(page)


def test_a_hose_that_is_named_is_drawn_or_refused(client: TestClient) -> None:
    refused = told(client, **FREE, hose="K02-15.9")
    assert "[x] NO" in seen(refused)
    assert 'type="range"' not in refused
    strange = told(client, **FREE, hose="no such hose")
    assert "found 'no such hose'" in seen(strange)
    assert 'value="250 mm forward, 120 mm up"' in strange
