"""Other names of services, stops and fluids."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.intake.names import AS_SOLD, ascii_text, known_fluid, known_service, plain
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import is_stop


@pytest.mark.parametrize("row", table("service_names").rows, ids=lambda row: row["other_name"])
def test_every_other_name_of_a_service(row: Any) -> None:
    assert known_service(row["other_name"]) == row["service"]
    assert known_service(row["other_name"].upper()) == row["service"]


@pytest.mark.parametrize("name", ["services", "stops"])
def test_ids_and_full_names_are_known(name: str) -> None:
    for row in table(name):
        code = row[name.removesuffix("s")]
        assert known_service(code) == code
        assert known_service(row["name"]) == code


@pytest.mark.parametrize("row", table("fluid_names").rows, ids=lambda row: row["other_name"])
def test_every_other_name_of_a_fluid(row: Any) -> None:
    assert known_fluid(row["other_name"]) == AS_SOLD.get(plain(row["other_name"]), row["fluid"])


def test_ids_of_fluids_are_known() -> None:
    for fluid in table("fluids").column("fluid"):
        assert known_fluid(fluid) == AS_SOLD.get(fluid, fluid)


def test_no_name_means_two_things() -> None:
    """A name of a service is none of a stop, and each has one meaning."""
    for name, key in (
        ("service_names", "service"),
        ("stop_names", "stop"),
        ("fluid_names", "fluid"),
    ):
        meanings: dict[str, set[str]] = {}
        for row in table(name):
            meanings.setdefault(plain(row["other_name"]), set()).add(row[key])
        assert {text: codes for text, codes in meanings.items() if len(codes) > 1} == {}
    services = {plain(row["other_name"]) for row in table("service_names")}
    assert not services & {plain(row["other_name"]) for row in table("stop_names")}


@pytest.mark.parametrize("text", ["PCV hose", "pcv  HOSE", "pcv-hose", "PCV_hose", " pcv hose "])
def test_spelling_does_not_matter(text: str) -> None:
    assert known_service(text) == "crankcase-suction"


@pytest.mark.parametrize("text", ["unknown", "don't know", "?", "no idea"])
def test_a_service_nobody_knows_is_a_stop(text: str) -> None:
    assert known_service(text) == "unknown-service"
    assert is_stop(known_service(text))


@pytest.mark.parametrize("text", ["", "  ", None, 5])
def test_nothing_is_no_service(text: object) -> None:
    with pytest.raises(InputError):
        known_service(text)


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("crankcase", "crankcase-suction"),
        ("heatr hose", "coolant-heater"),
        ("fuel retrun", "fuel-return"),
    ],
)
def test_near_names_are_offered(text: str, near: str) -> None:
    with pytest.raises(InputError) as caught:
        known_service(text)
    assert near in str(caught.value)
    assert str(caught.value).startswith("service: found '")


def test_the_offer_for_a_coolant_word_names_a_coolant_line() -> None:
    with pytest.raises(InputError) as caught:
        known_service("water hose")
    assert "coolant" in str(caught.value)
    assert "washer" in str(caught.value) or "coolant-heater" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "stop"),
    [("lpg", "stop:gas-fuel"), ("refrigerant", "stop:refrigerant"), ("r134a", "stop:refrigerant")],
)
def test_a_fluid_that_only_a_stop_knows(text: str, stop: str) -> None:
    assert known_fluid(text) == stop


def test_petrol_and_diesel_mean_what_the_pump_sells() -> None:
    assert (known_fluid("petrol"), known_fluid("Diesel")) == ("petrol-e10", "diesel-b7")


def test_a_strange_text_is_shown_cut_short_and_printable() -> None:
    assert ascii_text("x" * 100) == f"'{'x' * 60}...'"
    assert ascii_text("a\x1b[31m") == r"'a\x1b[31m'"
    with pytest.raises(InputError) as caught:
        known_fluid("\x1b" * 200)
    assert str(caught.value).isprintable()


UNSEEN = ("\u00ad", "\u200b", "\u200c", "\u200d", "\u2060", "\ufeff")


@pytest.mark.parametrize("sign", UNSEEN)
def test_what_nobody_sees_in_a_pasted_name_does_not_count(sign: str) -> None:
    """Pages and PDFs say so where a line may break; a stop does not hide behind it either."""
    assert known_service(f"hea{sign}ter ho{sign}se") == "coolant-heater"
    assert known_service(f"{sign}brake line{sign}") == "brake-hydraulics"
    assert known_fluid(f"cool{sign}ant") == "coolant"
    job = read_job({"service": f"PCV{sign} hose", "nipples": {"outside_diameter": f"1{sign}6 mm"}})
    assert (job.service, job.nipple_a.outside_diameter) == ("crankcase-suction", 16.0)
