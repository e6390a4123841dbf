"""The form of the bench sent as it stands says nothing new; what is changed in it is told anew."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

import pytest
from starlette.testclient import TestClient

from hoseselect.application.pick import pick_hose
from hoseselect.domain.job import Job
from hoseselect.intake.job_code import encode_job
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.page.address import Address, address_of
from hoseselect.interfaces.page.shop import Shop

from .seen import pairs_of, seen

A, B = "nipple_a.outside_diameter", "nipple_b.outside_diameter"
HEATER = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}}
PLACES = {"offset": "300 mm forward, 80 mm up", "nipple_a_points": "up", "nipple_b_points": "back"}
WIRE = {"wire": ["80 mm", {"bend": "90 deg", "radius": "60 mm"}, "120 mm"]}
TOLD: dict[str, list[tuple[str, str]]] = {
    "about so thick": [(A, "about 16 mm"), (B, "about 16 mm"), ("route", "400 mm")],
    "both ends in one reply": [(A, "16 and 19"), ("route", "400 mm")],
    "bead on one only": [("nipple_a.bead", "3"), ("route", "400 mm")],
    "beads measured": [("nipple_a.bead", "17.5 mm"), ("route", "400 mm")],
    "no bead": [("nipple_a.bead", "no"), ("route", "400 mm"), ("route.tightest_radius", "5")],
    "both on the engine": [("route", "400 mm"), ("route.movement", "1")],
    "one on the body": [("route", "400 mm"), ("route.movement", "2"), ("movement.far", "8 mm")],
    "a movement": [("route", "400 mm"), ("route.movement", "8 mm")],
    "free, by replies": [
        ("route", "free"), ("route.free.offset", "300 mm forward, 80 mm up"),
        ("route.free.nipple_a_points", "up"), ("route.free.nipple_b_points", "back"),
        ("route.free.movement", "rocks sideways, 8 mm at B"),
    ],
}  # fmt: skip
CODES: dict[str, dict[str, Any]] = {
    "usable lengths that differ": {
        "nipple_a": {"usable_length": "30 mm"}, "nipple_b": {"usable_length": "12 mm"},
    },
    "one usable length": {"nipple_b": {"usable_length": "12 mm"}},
    "ends fixed the other way round": {
        "nipple_a": {"fixed_to": "body"}, "nipple_b": {"fixed_to": "engine"},
    },
    "one end fixed": {"nipple_b": {"fixed_to": "engine"}},
    "a bead that is not known": {"nipple_a": {"bead": "yes"}, "nipple_b": {"bead": "unknown"}},
    "movement as a table": {
        "route": {"free": {**PLACES, "movement": {"forward": "5 mm", "up": "8 mm"}}},
    },
    "offset as a table": {
        "route": {"free": {**PLACES, "offset": {"forward": "300 mm", "up": "80 mm"}}},
    },
    "a wire that moves": {
        "route": {"free": {
            **WIRE, "nipple_a_points": "forward", "wire_bends": "up",
            "movement": {"forward": "5 mm"},
        }},
    },
    "rocking, lead and errors": {
        "route": {"free": {
            **PLACES, "rocking": "rocks sideways, 8 mm at B", "lead": "20 mm",
            "tape_error": "3 mm", "angle_error": "5 deg",
        }},
    },
    "numbers": {"nipples": {"outside_diameter": 16.0}, "route": {"measured": 400}},
    "sizes that differ, as numbers": {
        "nipples": {}, "nipple_a": {"outside_diameter": 16.0},
        "nipple_b": {"outside_diameter": "13 mm"}, "route": {"measured": 400},
    },
    "one nipple": {"nipples": {}, "nipple_a": {"outside_diameter": "16 mm"}},
    "a run": {"route": {"run": WIRE["wire"], "low_spot": "no", "supports": "300 mm"}},
    "a turned run": {
        "route": {
            "run": ["80 mm", {"bend": "90 deg", "radius": "60 mm", "turn": "45 deg"}, "9 cm"],
        },
    },
    "in one plane": {
        "route": {"free": {"flat": {
            "distance": "280 mm", "angle_a": "60 deg", "angle_b": "50 deg",
        }, "movement": "0 mm"}},
    },
    "things to keep clear of": {
        "route": {"free": {**PLACES, "keep_out": [
            {"name": name, "ball": "90 mm forward, 90 mm down", "diameter": "20 mm", **hot}
            for name, hot in (
                ("air box", {}), ("exhaust", {}), ("exhaust shield", {"hot": False}),
                ("pump", {"hot": True}), ("left_exhaust_manifold", {"hot": "unknown"}),
            )
        ]}},
    },
    "turbo not known": {"features": {"turbo": "unknown"}, "fluids": ["coolant"]},
}  # fmt: skip


class Form(HTMLParser):
    """The fields of the bench's form as a browser sends them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.inside, self.select = False, ""
        self.sent: list[tuple[str, str]] = []
        self.options: list[tuple[str, bool]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = told.get("id") == "bench-form"
        if not self.inside:
            return
        if tag == "input" and (told.get("type") != "radio" or "checked" in told):
            self.sent.append((told["name"], told.get("value", "")))
        elif tag == "select":
            self.select, self.options = told["name"], []
        elif tag == "option" and self.select:
            self.options.append((told["value"], "selected" in told))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False
        elif tag == "select" and self.select:
            chosen = [value for value, selected in self.options if selected]
            self.sent.append((self.select, (chosen or [self.options[0][0]])[-1]))
            self.select = ""


def addresses() -> dict[str, list[tuple[str, str]]]:
    """Return jobs as addresses tell them: by replies at the counter, and by a code."""
    line, sizes = ("service", "heater hose"), [(A, "16 mm"), (B, "same")]
    found = {
        name: [line, *([] if A in dict(pairs) else sizes), *pairs] for name, pairs in TOLD.items()
    }
    for name, more in CODES.items():
        found[name] = [("code", encode_job({**HEATER, **more}))]
    return found


ADDRESSES = addresses()


def job_at(pairs: list[tuple[str, str]]) -> Job:
    return read_job(address_of(pairs).interviewing.values, "")


def sent(client: TestClient, pairs: list[tuple[str, str]], **changes: str) -> Any:
    """Send the form of a job as it stands, or with changes in it."""
    fields = Form(client.get("/bench", params=pairs).text).sent
    last = {name: k for k, (name, _) in enumerate(fields)}
    typed = [
        (name, changes[name] if name in changes and last[name] == k else text)
        for k, (name, text) in enumerate(fields)
    ]
    assert set(changes) <= set(last)
    return client.get("/bench", params=typed)


@pytest.mark.parametrize("name", ADDRESSES)
def test_a_form_sent_as_it_stands_changes_nothing(
    client: TestClient, shop: Shop, name: str
) -> None:
    page = sent(client, ADDRESSES[name])
    before, after = job_at(ADDRESSES[name]), job_at(pairs_of(page))
    assert after == before
    told = [pick_hose(job, shop.catalogue).summary.word for job in (before, after)]
    assert told[0] == told[1]
    again = sent(client, pairs_of(page))
    assert job_at(pairs_of(again)) == before


@pytest.mark.parametrize("name", ADDRESSES)
@pytest.mark.parametrize("bead", ["yes", "no", ""])
def test_beads_told_at_the_bench_are_those_of_both(
    client: TestClient, name: str, bead: str
) -> None:
    before = job_at(ADDRESSES[name])
    after = job_at(pairs_of(sent(client, ADDRESSES[name], bead=bead)))
    shown = {before.nipple_a.bead, before.nipple_b.bead}
    if shown == {bead or "unknown"}:
        assert after == before
    else:
        assert {after.nipple_a.bead, after.nipple_b.bead} == {bead or "unknown"}


@pytest.mark.parametrize("name", ADDRESSES)
@pytest.mark.parametrize(
    ("fixed", "ends"), [("both_body", ("body", "body")), ("", ("unknown", "unknown"))]
)
def test_what_moves_is_told_anew_or_taken_back(
    client: TestClient, name: str, fixed: str, ends: tuple[str, str]
) -> None:
    before = job_at(ADDRESSES[name])
    after = job_at(pairs_of(sent(client, ADDRESSES[name], fixed=fixed)))
    was = (before.nipple_a.fixed_to, before.nipple_b.fixed_to)
    assert (after.nipple_a.fixed_to, after.nipple_b.fixed_to) == ends
    if was == ends:
        assert after == before


@pytest.mark.parametrize("name", ADDRESSES)
def test_another_size_leaves_the_rest_as_it_was(client: TestClient, name: str) -> None:
    before = job_at(ADDRESSES[name])
    after = job_at(pairs_of(sent(client, ADDRESSES[name], **{A: "15 mm", B: "12 mm"})))
    sizes = after.nipple_a.outside_diameter, after.nipple_b.outside_diameter
    assert sizes == (15, 12)
    if (
        name == "no bead"
    ):  # what just fits into the bend lies inside it: the hose adds half a nipple
        assert after.route.tightest_radius == 37 + 12 / 2
    else:
        assert after.route == before.route
    assert after.features == before.features
    assert after.nipple_a.usable_length == pytest.approx(before.nipple_a.usable_length, nan_ok=True)


@pytest.mark.parametrize("name", ADDRESSES)
def test_another_way_of_telling_the_route_leaves_the_nipples(client: TestClient, name: str) -> None:
    before = job_at(ADDRESSES[name])
    way = {"way": "measured", "measured:route.measured": "512 mm"}
    fields = dict(Form(client.get("/bench", params=ADDRESSES[name]).text).sent)
    if fields["way"] == "measured":
        way = {"way": "run", "run:route.run": "60 mm; 90 deg at 130 mm; 180 mm"}
    typed = [(k, way.get(k, v)) for k, v in Form(
        client.get("/bench", params=ADDRESSES[name]).text).sent if k != "way"]  # fmt: skip
    page = client.get("/bench", params=[*typed, ("way", way["way"])])
    if "keep clear" in name:  # nobody can tell how near anything is on such a route
        assert "what a hose must keep clear of" in seen(page.text)
        return
    after = job_at(pairs_of(page))
    if way["way"] == "measured":
        assert after.route.measured == 512
    else:
        assert after.route.run is not None
    assert after.nipple_a == before.nipple_a
    assert after.nipple_b == before.nipple_b


def test_a_guess_at_one_nipple_is_none_the_better_for_a_figure_at_the_other(
    client: TestClient,
) -> None:
    pairs = [("service", "heater hose"), *TOLD["about so thick"]]
    for name, other in ((A, "nipple_b"), (B, "nipple_a")):
        page = sent(client, pairs, **{name: "15.9 mm"})
        after = job_at(pairs_of(page))
        assert getattr(after, other).measured_on == "unknown"
        assert getattr(after, other).outside_diameter == 16
        assert "is no measurement" in seen(page.text)


def test_a_bare_figure_for_the_tightest_bend_is_a_figure(client: TestClient) -> None:
    """At the bench no numbered choices stand beside the field."""
    for figure in (*"123456789", "25"):
        form = {"service": "PCV hose", A: "16 mm", "way": "measured"}
        route = {"measured:route.measured": "400 mm", "measured:route.tightest_radius": figure}
        page = client.get("/bench", params={**form, **route})
        if page.history:
            assert job_at(pairs_of(page)).route.tightest_radius == float(figure)
        else:
            assert f"route.tightest_radius: found '{figure}' without a unit" in seen(page.text)


def test_a_later_reply_counts_over_what_the_bench_wrote() -> None:
    bench = (("service", "heater hose"), (A, "16 mm"), (B, "16 mm"), ("nipple_b.bead", "yes"))
    after = Address((*bench, ("nipple_a.bead", "no"))).interviewing.job()
    assert (after.nipple_a.bead, after.nipple_b.bead) == ("no", "no")
    turbo = (("job.features.turbo", "unknown"), ("features.turbo", "yes"))
    assert Address((*bench, *turbo)).interviewing.job().features.turbo == "yes"
    ends = (("nipple_a.fixed_to", "engine"), ("nipple_b.fixed_to", "engine"))
    moved = Address((*bench, *ends, ("route.movement", "2"))).interviewing.job()
    assert (moved.nipple_a.fixed_to, moved.nipple_b.fixed_to) == ("engine", "body")
    last = Address((*bench, ("nipple_a.bead", "no"), ("job.nipple_b.bead", "yes")))
    assert last.interviewing.job().nipple_b.bead == "yes"
