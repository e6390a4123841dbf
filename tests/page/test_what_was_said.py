"""Replies at the counter that are changed, gone back on, guessed, or told once and for all."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from hoseselect.application.pick import pick_hose
from hoseselect.intake.job_code import encode_job
from hoseselect.intake.told_stops import told_stops
from hoseselect.interfaces.page.address import Address, address_of
from hoseselect.interfaces.page.counter_view import changed_reply
from hoseselect.interfaces.page.shop import Shop

from .seen import seen

A, B = "nipple_a.outside_diameter", "nipple_b.outside_diameter"
HEATER = (("service", "heater hose"), (A, "16 mm"), (B, "same"))
BY_ENDS = (("service", "dunno"), ("line.end_a", "1"), ("line.end_b", "3"), ("line.residue", "1"))


def test_a_number_that_would_choose_something_else_is_asked_again() -> None:
    told = Address((*BY_ENDS, ("line.which", "1")))
    assert told.interviewing.begun
    for other in ("13", "12"):
        changed = changed_reply(told, "line.end_b", other, "2")
        assert dict(changed.pairs).get("line.which") is None
        assert not changed.interviewing.begun
    same = changed_reply(told, "line.residue", "dunno", "3")
    kept = dict(same.pairs).get("line.which")
    assert (
        kept is None or same.interviewing.values["service"] == told.interviewing.values["service"]
    )


def test_a_number_for_a_fuel_does_not_name_another_fuel() -> None:
    told = Address((("service", "fuel return"), ("fluids", "2")))
    assert told.interviewing.values["fluids"] == "petrol-e85"
    changed = changed_reply(told, "service", "diesel leak-off hose", "0")
    assert "fluids" not in changed.interviewing.values
    again = changed_reply(told, "service", "fuel feed, low pressure", "0")
    assert again.interviewing.values["fluids"] == "petrol-e85"


@pytest.mark.parametrize("fluids", [["lpg"], "lpg", ["petrol-e10", "propane"], "refrigerant"])
@pytest.mark.parametrize("key", ["fluids", "drips"])
@pytest.mark.parametrize("later", ["dunno", "coolant", "nothing"])
def test_no_later_reply_lifts_the_stop_of_a_fluid(
    shop: Shop, fluids: str | list[str], key: str, later: str
) -> None:
    before = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}, key: fluids}
    told = told_stops(before)
    assert told[key] == fluids
    if later == "nothing" and key == "fluids":
        return
    for name in (key, f"job.{key}"):
        address = Address(((name, later),), encode_job(before))
        assert pick_hose(address.interviewing.job(), shop.catalogue).summary.word == "STOP"


@pytest.mark.parametrize("value", [None, ["coolant"], "coolant", "dunno", 7, ["xyzzy"], {"a": 1}])
def test_what_is_no_stop_is_not_kept_as_one(value: object) -> None:
    assert told_stops({"fluids": value}) == {}


def test_a_reply_has_the_place_that_it_has_in_the_address() -> None:
    """Also where things to keep clear of stand before it."""
    around = (("keep_out.1.name", "exhaust"), ("keep_out.1.kind", "ball"),
              ("keep_out.1.at", "80 mm down"), ("keep_out.1.size", "30 mm"))  # fmt: skip
    free = (("route.free.offset", "300 mm forward"), ("route.free.nipple_a_points", "up"),
            ("route.free.nipple_b_points", "back"))  # fmt: skip
    address = Address((*HEATER, *free, *around, ("nipple_a.bead", "yes")))
    said = address.interviewing.said
    assert all(address.pairs[one.place] == (one.field, one.reply) for one in said)
    assert said[-1].field == "nipple_a.bead"
    changed = changed_reply(address, "nipple_a.bead", "no", str(said[-1].place))
    assert changed.pairs == (*address.pairs[:-1], ("nipple_a.bead", "no"))


@pytest.mark.parametrize("path", ["/counter", "/bench", "/answer"])
def test_a_guess_is_told_beside_the_length_that_rests_on_it(client: TestClient, path: str) -> None:
    ends = [("nipple_a.usable_length", "25 mm"), ("nipple_b.usable_length", "25 mm")]
    beads = [("nipple_a.bead", "yes"), ("route.movement", "1"), ("route.tightest_radius", "8")]
    told = [*HEATER, *beads, *ends, ("route", "about a foot")]
    assert '"about a foot" is no measurement' in seen(client.get(path, params=told).text)
    measured = [*told[:-1], ("route", "305 mm")]
    assert "is no measurement" not in seen(client.get(path, params=measured).text)


def test_a_figure_read_back_may_be_said_anew() -> None:
    asked = (("service", "heater hose"), (A, "300 mm"))
    for reply, size in (("16 mm", "16 mm"), ("19", "19"), ("dunno", "unknown"), ("", "unknown")):
        own = Address((*asked, ("confirm", reply))).interviewing
        assert own.state.said[A] == size
        assert own.unanswered is None
    again = Address((*asked, ("confirm", "no"))).interviewing
    assert A not in again.state.said
    assert again.state.pending[0].field == A
    other = Address((*asked, ("confirm", "350 mm"))).interviewing.unanswered
    assert other is not None
    assert other.question.startswith("350 mm across")


def test_the_counter_offers_what_is_moulded_into_the_hose(client: TestClient) -> None:
    pairs = [*HEATER, ("features.insert", "moulded in valve")]
    assert "STOP" in seen(client.get("/counter", params=pairs).text)
    number = [*HEATER, ("features.insert", "5")]
    assert "STOP" in seen(client.get("/counter", params=number).text)


@pytest.mark.parametrize("fluids", ["E10 and LPG", "lpg, e10", "E85 and brake fluid"])
def test_no_stop_is_lost_beside_a_fluid_that_is_a_choice(client: TestClient, fluids: str) -> None:
    pairs = [("service", "fuel return"), ("fluids", fluids), (A, "8 mm"), (B, "same")]
    told = seen(client.get("/counter", params=pairs).text)
    assert "STOP" in told
    assert not re.search(r"cut .* mm", told)
    assert address_of(pairs).interviewing.unanswered is None
