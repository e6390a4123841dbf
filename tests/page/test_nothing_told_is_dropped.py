"""What somebody told stays told: what to keep clear of, hoses that were chosen, stops."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from hoseselect.book.job_book import JobBook
from hoseselect.intake.job_code import encode_job
from hoseselect.interfaces.page.shop import Shop

from .seen import pairs_of, seen

PCV = [
    ("service", "PCV hose"),
    ("nipple_a.outside_diameter", "13 mm"),
    ("nipple_b.outside_diameter", "13 mm"),
    ("nipple_a.bead", "yes"),
    ("nipple_b.bead", "yes"),
    ("features.turbo", "no"),
    ("nipple_a.usable_length", "25 mm"),
    ("nipple_b.usable_length", "25 mm"),
]
FREE = [
    ("route.free.offset", "300 mm forward, 80 mm up"),
    ("route.free.nipple_a_points", "up"),
    ("route.free.nipple_b_points", "back"),
    ("route.free.movement", "5 mm forward"),
]
EXHAUST = [
    ("keep_out.1.name", "exhaust"),
    ("keep_out.1.kind", "rod"),
    ("keep_out.1.at", "150 mm forward, 120 mm up, 200 mm left"),
    ("keep_out.1.to", "150 mm forward, 120 mm up, 200 mm right"),
    ("keep_out.1.size", "30 mm"),
    ("keep_out.1.hot", "yes"),
]
FORM = {
    "service": "PCV hose",
    "nipple_a.outside_diameter": "13 mm",
    "nipple_b.outside_diameter": "13 mm",
    "bead": "yes",
    "usable": "25 mm",
}
JOB: dict[str, Any] = {
    "service": "PCV hose",
    "nipples": {"outside_diameter": "13 mm", "bead": "yes", "usable_length": "25 mm"},
    "features": {"turbo": "no"},
    "route": {
        "free": {
            "offset": {"forward": "300 mm", "up": "80 mm"},
            "nipple_a_points": "up",
            "nipple_b_points": "back",
            "movement": {"forward": "5 mm"},
            "keep_out": [
                {
                    "name": "exhaust",
                    "rod": [
                        {"forward": "150 mm", "up": "120 mm", "left": "200 mm"},
                        {"forward": "150 mm", "up": "120 mm", "right": "200 mm"},
                    ],
                    "diameter": "30 mm",
                    "hot": True,
                    "shake": "5 mm",
                }
            ],
        }
    },
}


def asked(client: TestClient, path: str, *pairs: tuple[str, str]) -> Any:
    return client.get(f"{path}?{urlencode(pairs)}")


def test_an_exhaust_is_not_forgotten_with_the_kind_of_route(client: TestClient) -> None:
    page = asked(client, "/bench", *PCV, *FREE, *EXHAUST)
    assert "too near to what it must keep clear of" in seen(page.text)
    told = {**FORM, **dict(EXHAUST), "way": "measured", "measured:route.measured": "330 mm"}
    for path, pairs in (
        ("/bench", [*PCV, *FREE, *told.items()]),
        ("/counter", [*PCV, ("route", "330 mm"), *EXHAUST]),
        ("/counter", [*PCV, ("route.run", "60 mm; 90 deg at 130 mm; 180 mm"), *EXHAUST]),
        ("/card.pdf", [*PCV, ("route", "330 mm"), *EXHAUST]),
    ):
        words = seen(asked(client, path, *pairs).text)
        assert "found what a hose must keep clear of" in words, path
        assert "USE" not in words, path
    again = asked(client, "/bench", *PCV, *FREE, *told.items()).text
    assert 'value="exhaust"' in again


@pytest.mark.parametrize("left_out", ["keep_out.1.at", "keep_out.1.to", "keep_out.1.size"])
def test_half_of_a_thing_to_keep_clear_of_is_no_thing(client: TestClient, left_out: str) -> None:
    half = [pair for pair in EXHAUST if pair[0] != left_out]
    page = asked(client, "/counter", *PCV, *FREE, *half)
    assert page.status_code == 422
    form = dict([*FORM.items(), *half])
    free = {f"free:{key}": text for key, text in FREE}
    bench = asked(client, "/bench", *form.items(), *free.items(), ("way", "free"))
    assert "USE" not in seen(bench.text)
    assert 'role="alert">' in bench.text


def test_a_row_that_nobody_filled_is_nothing(client: TestClient) -> None:
    idle = [("keep_out.1.kind", "rod"), ("keep_out.1.hot", "unknown"), ("keep_out.1.name", "")]
    assert "USE" in seen(asked(client, "/counter", *PCV, ("route", "330 mm"), *idle).text)


def test_what_a_code_holds_stands_in_the_form_and_is_added_to(client: TestClient) -> None:
    code = ("code", encode_job(JOB))
    bench = asked(client, "/bench", code)
    assert 'value="exhaust"' in bench.text
    assert 'name="keep_out.1.shake" value="5 mm"' in bench.text
    assert "too near" in seen(bench.text)
    bracket = [
        ("keep_out.1.name", "bracket"),
        ("keep_out.1.kind", "ball"),
        ("keep_out.1.at", "500 mm forward, 500 mm up"),
        ("keep_out.1.size", "20 mm"),
    ]
    assert "too near" in seen(asked(client, "/counter", code, *bracket).text)
    form = dict([*FORM.items(), *EXHAUST, ("keep_out.1.shake", "5 mm")])
    free = {f"free:{key}": text for key, text in FREE}
    shown = asked(client, "/bench", code, *form.items(), *free.items(), ("way", "free"))
    assert "too near" in seen(shown.text)
    assert "exhaust" in shown.text


def test_a_stop_of_a_code_stays_at_the_bench(client: TestClient) -> None:
    code = ("code", encode_job({"service": "brake hose"}))
    form = {**FORM, "way": "measured", "measured:route.measured": "300 mm"}
    words = seen(asked(client, "/bench", code, *form.items()).text)
    assert "[!] STOP" in words
    assert "USE" not in words


def test_the_hose_that_was_chosen_is_the_one_that_is_kept(client: TestClient, book: Path) -> None:
    for hose, verdict in (("F06-12.7", "conditional"), ("C01-12.7", "reject")):
        told = client.post("/keep", data={**dict(PCV), "route": "330 mm", "hose": hose})
        number = int(dict(pairs_of(told))["number"])
        kept = JobBook(book).entry(number).asked
        assert (kept.options, kept.verdict) == ({"hose": hose}, verdict)
        opened = client.post("/open", data={"job": str(number)})
        assert dict(pairs_of(opened))["hose"] == hose
        assert f"Job {number}" in seen(opened.text)


def test_a_number_stands_only_beside_its_own_job(client: TestClient, shop: Shop) -> None:
    told = client.post("/keep", data={**dict(PCV), "route": "330 mm"})
    own = pairs_of(told)
    assert "Job 1," in seen(told.text)
    for wrong in (
        [*own, ("nipple_a.bead", "no")],
        [*own, ("hose", "F06-12.7")],
        [(name, "7" if name == "number" else text) for name, text in own],
        [(name, "²" if name == "number" else text) for name, text in own],
        [(name, "1" * 5000 if name == "number" else text) for name, text in own],
    ):
        page = asked(client, "/counter", *wrong)
        assert page.status_code == 200
        assert "in the book" not in seen(page.text)
        assert asked(client, "/card.pdf", *wrong).status_code == 200


def test_figures_that_are_none_are_no_fault_of_ours(client: TestClient) -> None:
    for text in ("²", "9" * 5000, "-1", "1e3"):
        for name in ("changed", "unsaid"):
            found = asked(client, "/counter", *PCV[:2], (name, text), ("field", "x"))
            assert found.status_code == 200
        assert client.post("/open", data={"job": text}).status_code in {404, 422}


def test_what_was_said_is_taken_back_with_what_followed_from_it(client: TestClient) -> None:
    pairs = [("service", "heater hose"), ("nipple_a.outside_diameter", "50 mm"), ("confirm", "1")]
    page = asked(client, "/counter", *pairs, ("nipple_b.outside_diameter", "same"), ("unsaid", "1"))
    assert page.status_code == 200
    assert dict(pairs_of(page)).get("confirm") is None
    assert dict(pairs_of(page))["service"] == "heater hose"


def test_a_wire_that_moves_says_how_it_lies(client: TestClient) -> None:
    wire = {
        "wire:route.free.wire": "80 mm; 90 deg at 130 mm; 120 mm",
        "wire:route.free.nipple_a_points": "forward",
        "wire:route.free.wire_bends": "up",
        "wire:route.free.movement": "5 mm forward, 8 mm up",
    }
    page = asked(client, "/bench", *FORM.items(), *wire.items(), ("way", "wire"))
    assert "Lengths that work" in seen(page.text) or "No length works" in page.text


def test_the_window_on_the_page_is_the_one_of_the_card(client: TestClient, shop: Shop) -> None:
    page = asked(client, "/bench", *PCV, *FREE, ("hose", "F06-12.7"))
    text = page.text
    low = int(text.split("<dt>Lengths that work</dt><dd>")[1].split(" mm")[0])
    query = dict(pairs_of(page))
    at = client.get("/bench/shape", params={**query, "length": f"{low} mm"}).json()
    assert at["works"] is True


def test_a_hose_may_be_named_by_its_print(client: TestClient) -> None:
    for path in ("/counter", "/bench", "/answer"):
        page = asked(client, path, *PCV, ("route", "330 mm"), ("hose", " F06-12.7 "))
        assert page.status_code == 200


def test_whoever_sees_the_invented_catalogue_is_told(client: TestClient) -> None:
    assert "invented" in seen(asked(client, "/counter", *PCV).text)


@pytest.mark.parametrize(
    "way",
    [
        {"way": "measured", "measured:route.measured": "330 mm"},
        {"way": "run", "run:route.run": "60 mm; 90 deg at 130 mm; 180 mm"},
        {"way": "free", **{f"free:{key}": text for key, text in FREE}},
    ],
)
def test_how_near_heat_is_stays_told_with_another_route(
    client: TestClient, way: dict[str, str]
) -> None:
    near = {**JOB, "route": {"measured": "400 mm", "heat_source": {"distance": "20 mm"}}}
    told = [("route.heat_source.distance", "20 mm"), ("route", "400 mm")]
    for pairs in ([("code", encode_job(near))], [*PCV, *told]):
        page = asked(client, "/bench", *pairs, *FORM.items(), *way.items())
        kept = {name.removeprefix("job."): text for name, text in pairs_of(page)}
        assert kept.get("route.heat_source.distance") == "20 mm"
        assert "route" not in kept


@pytest.mark.parametrize("kind", ["ball", "box"])
def test_the_other_end_of_what_has_none_is_not_dropped(client: TestClient, kind: str) -> None:
    size = {"ball": "30 mm", "box": "30 mm forward, 20 mm left, 9 mm up"}[kind]
    around = {**dict(EXHAUST), "keep_out.1.kind": kind, "keep_out.1.size": size}
    told = seen(asked(client, "/bench", *PCV, *FREE, *around.items()).text)
    assert f"keep_out.1.to: found '{around['keep_out.1.to']}'" in told
    alone = {name: text for name, text in around.items() if not name.endswith(".to")}
    assert "keep_out.1.to" not in seen(asked(client, "/bench", *PCV, *FREE, *alone.items()).text)
