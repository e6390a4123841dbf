"""The door for jobs: units, "don't know", merging of nipples, one sentence for every fault."""

from __future__ import annotations

import math
from typing import Any

import pytest

from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError, ManyFaultsError, NoFigureError, SideNeededError

LEFT_OUT = "left out"


def refused(values: dict[str, Any]) -> str:
    with pytest.raises(InputError) as caught:
        read_job(values, "job.toml")
    text = str(caught.value)
    assert "; expected" in text
    assert "pydantic" not in text
    return text


@pytest.mark.parametrize(
    ("path", "typed", "read"),
    [
        ("duty.fluid_steady", "230 degF", 110.0),
        ("duty.fluid_steady", 110, 110.0),
        ("duty.fluid_steady", "110", 110.0),
        ("duty.coldest_start", "-25 °C", -25.0),
        ("duty.pressure_max", "1.5 bar", 150.0),
        ("duty.pressure_min", "-65 kPa", -65.0),
        ("duty.pressure_min", "20 inHg vacuum", -67.728),
        ("duty.flow", "50 L/min", 50.0),
        ("nipple_a.outside_diameter", "1/2 in", 12.7),
        ("nipple_a.outside_diameter", "13,5 mm", 13.5),
        ("nipple_a.usable_length", "2.5 cm", 25.0),
        ("route.movement", '3/8"', 9.525),
        ("route.supports", "1 ft", 304.8),
        ("route.measured", "0.4 m", 400.0),
    ],
)
def test_figures_with_units(path: str, typed: Any, read: float) -> None:
    section, name = path.split(".")
    job = read_job({"service": "washer", section: {name: typed}})
    assert getattr(getattr(job, section), name) == pytest.approx(read, rel=1e-4)


@pytest.mark.parametrize("typed", ["unknown", "don't know", "don’t know", "?", "", "not sure"])
def test_every_value_may_be_unknown(typed: str) -> None:
    job = read_job(
        {
            "service": "washer",
            "fluids": typed,
            "drips": typed,
            "duty": {"fluid_steady": typed},
            "nipples": {"outside_diameter": typed, "bead": typed, "measured_on": typed},
            "route": {"movement": typed, "low_spot": typed, "measured": typed},
            "features": {"insert": typed, "turbo": typed, "end_fitting": typed},
            "original_bore": typed,
        }
    )
    assert math.isnan(job.duty.fluid_steady)
    assert math.isnan(job.nipple_a.outside_diameter)
    assert math.isnan(job.route.movement)
    assert math.isnan(job.original_bore)
    assert job.fluids == job.drips == ("unknown",)
    words = {job.nipple_b.bead, job.nipple_a.measured_on, job.route.low_spot, job.features.turbo}
    words |= {job.features.insert, job.features.end_fitting, job.route.kind}
    assert words == {"unknown"}


def test_an_unknown_service_is_a_stop() -> None:
    assert read_job({"service": "don't know"}).service == "unknown-service"


def test_what_is_left_out_is_unknown() -> None:
    job = read_job({"service": "PCV hose"})
    assert job.service == "crankcase-suction"
    assert (job.fluids, job.drips) == ((), ("unknown",))
    assert math.isnan(job.duty.pressure_max)
    assert job.nipple_a.bead == job.features.insert == job.route.kind == "unknown"


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ([], ()),
        ("nothing", ()),
        ("None", ()),
        ("no", ()),
        ("engine oil", ("engine-oil",)),
        ("engine oil, coolant", ("engine-oil", "coolant")),
        (["engine-oil", "unknown"], ("engine-oil", "unknown")),
        ("", ("unknown",)),
    ],
)
def test_what_drips(typed: Any, read: tuple[str, ...]) -> None:
    assert read_job({"service": "washer", "drips": typed}).drips == read


def test_something_and_nothing_do_not_drip_together() -> None:
    assert "beside something" in refused({"service": "washer", "drips": ["nothing", "coolant"]})


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "service: found nothing"),
        ({"service": "washer", "colour": "red"}, "colour: found a key that no job has"),
        ({"service": "washer", "duty": {"heat": 1}}, "duty.heat: found a key"),
        ({"service": "washer", "duty": 13}, "expected a table of keys, such as [duty]"),
        ({"service": "washer", "duty": {"fluid_steady": "110 kPa"}}, "duty.fluid_steady: found"),
        ({"service": "washer", "duty": {"fluid_steady": []}}, "a temperature such as"),
        ({"service": "washer", "duty": {"fluid_steady": True}}, "a temperature such as"),
        ({"service": "washer", "duty": {"fluid_steady": 1e9}}, "duty.fluid_steady"),
        ({"service": "washer", "duty": {"pressure_min": -200}}, "duty.pressure_min"),
        ({"service": "washer", "features": {"turbo": "maybe"}}, "yes"),
        ({"service": "washer", "features": {"turbo": {}}}, "yes, no or unknown"),
        ({"service": "washer", "features": {"insert": "banana"}}, "restrictor"),
        ({"service": "washer", "nipples": {"outside_diameter": 0}}, "nipple of 0 mm"),
        ({"service": "washer", "nipples": {"outside_diameter": -3}}, "outside_diameter"),
        (
            {"service": "washer", "nipples": {"outside_diameter": 14, "bead_diameter": 13}},
            "which is which",
        ),
        (
            {"service": "washer", "nipples": {"outside_diameter": 14, "bead_diameter": 14}},
            "which is which",
        ),
        (
            {"service": "washer", "nipples": {"bead": "no", "bead_diameter": 14}},
            "bead = no together",
        ),
        (
            {"service": "washer", "nipples": {"usable_length": 10, "engagement": 20}},
            "engagement 20 above",
        ),
        (
            {"service": "washer", "route": {"run": [60], "measured": 300}},
            "one description of the route",
        ),
        ({"service": "washer", "route": {"run": 60}}, "a list of straights and bends"),
        ({"service": "washer", "route": {"run": ["unknown"]}}, "unknown or empty part"),
        ({"service": "washer", "route": {"run": [{"bend": 90}]}}, "a bend such as"),
        ({"service": "washer", "route": {"run": [{"bend": 90, "radius": 0}]}}, "route"),
        ({"service": "washer", "route": {"run": [{"bend": 400, "radius": 50}]}}, "bend"),
        ({"service": "washer", "route": {"run": [-5]}}, "route.run"),
        ({"service": "washer", "route": {"run": [[1, 2]]}}, "route.run"),
        ({"service": "washer", "fluids": ["banana"]}, "fluids"),
        ({"service": "washer", "fluids": [1]}, "a list of fluids"),
        ({"service": "washer", "name": "a\x1b[31mb"}, "without control characters"),
        ({"service": "washer", "name": "a\u202eb"}, "without control characters"),
        ({"service": "was\u202eher"}, "without control characters"),
        ({"service": "washer", "nipples": {"bead": "16\tmm"}}, "without control characters"),
        ({"service": "washer", "name": "a\u2028b"}, "without control characters"),
        ({"service": "washer", "fluids": ["cool\x07ant"]}, "without control characters"),
        ({"service": "washer", "old_hose": {"bore": 10, "outside_diameter": 9}}, "a bore inside"),
        ({"service": 5}, "what the line does"),
        ({"service": "flux hose"}, "service"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_sentence(values: dict[str, Any], words: str) -> None:
    text = refused(values)
    assert words in text
    assert text.startswith("job.toml")
    assert len(text.splitlines()) == 1


@pytest.mark.parametrize(
    ("low", "high"),
    [
        ("fluid_steady", "fluid_peak"),
        ("air_steady", "air_peak"),
        ("pressure_min", "pressure_max"),
        ("pressure_max", "pressure_spike"),
    ],
)
def test_figures_out_of_order(low: str, high: str) -> None:
    unit = "kPa" if "pressure" in low else "degC"
    text = refused({"service": "washer", "duty": {low: f"20 {unit}", high: f"10 {unit}"}})
    assert f"found {low} 20 above {high} 10" in text
    assert read_job({"service": "washer", "duty": {low: f"10 {unit}", high: f"10 {unit}"}})


def test_every_fault_has_its_own_sentence() -> None:
    values = {"service": "washer", "duty": {"fluid_steady": "hot"}, "features": {"turbo": "maybe"}}
    with pytest.raises(ManyFaultsError) as caught:
        read_job(values, "job.toml")
    first, second = caught.value.faults
    assert str(caught.value) == f"{first}\n{second}"
    assert (first.place, first.keys) == ("job.toml: duty.fluid_steady", ("duty.fluid_steady",))
    assert (second.place, second.found) == ("job.toml: features.turbo", "'maybe'")
    with pytest.raises(ManyFaultsError) as caught:
        read_job(values, "")
    assert [fault.place for fault in caught.value.faults] == ["duty.fluid_steady", "features.turbo"]


def test_keys_that_do_not_go_together_are_named() -> None:
    values = {"service": "washer", "duty": {"pressure_min": 20, "pressure_max": 10}}
    with pytest.raises(ManyFaultsError) as caught:
        read_job(values)
    (fault,) = caught.value.faults
    assert fault.keys == ("duty.pressure_min", "duty.pressure_max")
    values = {"service": "washer", "nipples": {"bead": "no"}, "nipple_b": {"bead_diameter": 11}}
    with pytest.raises(ManyFaultsError) as caught:
        read_job(values)
    (fault,) = caught.value.faults
    assert fault.keys == (
        *("nipple_b.bead", "nipple_b.bead_diameter"),
        *("nipples.bead", "nipples.bead_diameter"),
    )


@pytest.mark.parametrize(
    ("pressure", "kind"),
    [("20 inHg", SideNeededError), ("deep", NoFigureError), (None, InputError)],
)
def test_the_kind_of_a_fault_is_kept_through_the_form(
    pressure: str | None, kind: type[InputError]
) -> None:
    with pytest.raises(ManyFaultsError) as caught:
        read_job({"service": "washer", "duty": {"pressure_max": pressure}})
    assert [type(fault) for fault in caught.value.faults] == [kind]


def test_suction_typed_without_its_sign_is_asked_about() -> None:
    text = refused({"service": "crankcase-suction", "duty": {"pressure_min": 65}})
    assert "-65 kPa" in text
    assert read_job({"service": "washer", "duty": {"pressure_min": 65}})


def nipples(**tables: dict[str, Any]) -> Any:
    return read_job({"service": "washer", **tables})


def test_what_both_nipples_share() -> None:
    job = nipples(
        nipples={"outside_diameter": 16, "bead_diameter": 17.5}, nipple_b={"fixed_to": "body"}
    )
    for nipple in (job.nipple_a, job.nipple_b):
        assert (nipple.outside_diameter, nipple.bead, nipple.bead_diameter) == (16, "yes", 17.5)
    assert (job.nipple_a.fixed_to, job.nipple_b.fixed_to) == ("unknown", "body")


def test_its_own_figure_stands_against_the_shared_one() -> None:
    job = nipples(nipples={"outside_diameter": 16}, nipple_b={"outside_diameter": 19})
    assert (job.nipple_a.outside_diameter, job.nipple_b.outside_diameter) == (16, 19)


def test_the_lack_of_a_bead_stands_against_a_shared_bead() -> None:
    job = nipples(nipples={"outside_diameter": 16, "bead_diameter": 17}, nipple_b={"bead": "no"})
    assert (job.nipple_a.bead, job.nipple_b.bead) == ("yes", "no")
    assert math.isnan(job.nipple_b.bead_diameter)


def test_a_shared_bead_below_its_own_nipple_is_refused() -> None:
    values = {
        "service": "washer",
        "nipples": {"outside_diameter": 16, "bead_diameter": 17.5},
        "nipple_a": {"outside_diameter": 19},
    }
    text = refused(values)
    assert "nipple_a" in text
    assert "[nipples]" in text


@pytest.mark.parametrize(
    ("shared", "own", "usable", "engagement"),
    [
        ({"engagement": 30}, {"usable_length": 20}, 20, math.nan),
        ({"usable_length": 30, "engagement": 25}, {"engagement": 10}, math.nan, 10),
        ({"usable_length": 30, "engagement": 25}, {}, 30, 25),
    ],
)
def test_its_own_length_stands_against_the_shared_lengths(
    shared: dict[str, Any], own: dict[str, Any], usable: float, engagement: float
) -> None:
    found = nipples(nipples=shared, nipple_a=own).nipple_a
    assert found.usable_length == pytest.approx(usable, nan_ok=True)
    assert found.engagement == pytest.approx(engagement, nan_ok=True)


def test_an_unknown_of_its_own_stands_against_a_shared_figure() -> None:
    job = nipples(nipples={"outside_diameter": 16}, nipple_b={"outside_diameter": "unknown"})
    assert math.isnan(job.nipple_b.outside_diameter)


def test_a_string_round_the_nipple_stands_for_its_diameter() -> None:
    job = nipples(nipples={"outside_diameter": "50.27 mm around"})
    assert job.nipple_a.outside_diameter == pytest.approx(16, abs=0.01)


def test_a_run_is_read_piece_by_piece() -> None:
    run = [
        "60 mm",
        {"bend": "90 deg", "radius": "110 mm"},
        {"bend": 45, "radius": 80, "turn": 180},
        5,
    ]
    route = read_job({"service": "washer", "route": {"run": run}}).route
    assert route.kind == "run"
    assert route.run == (Straight(60), Bend(90, 110), Bend(45, 80, 180), Straight(5))


@pytest.mark.parametrize(
    ("route", "kind"),
    [
        ({}, "unknown"),
        ({"run": []}, "unknown"),
        ({"measured": 300}, "measured"),
        ({"measured": "unknown"}, "unknown"),
    ],
)
def test_the_kind_of_a_route(route: dict[str, Any], kind: str) -> None:
    assert read_job({"service": "washer", "route": route}).route.kind == kind


@pytest.mark.parametrize("word", ["check-valve", "Check Valve", "check_valve", " CHECK-VALVE "])
def test_words_are_read_whatever_their_spelling(word: str) -> None:
    assert (
        read_job({"service": "washer", "features": {"insert": word}}).features.insert
        == "check-valve"
    )


def test_a_space_that_does_not_break_is_a_space() -> None:
    """Text pasted from a page or a letter has them between figure and unit."""
    pasted = {
        "service": "heater\u00a0hose",
        "name": "van\u00a07",
        "fluids": ["engine\u202fcoolant"],
        "nipples": {"outside_diameter": "16\u00a0mm"},
        "route": {
            "run": ["60\u202fmm", {"bend": "90\u00a0deg", "radius": "110\u2009mm"}, "1\u00a0m"]
        },
    }
    typed = {
        "service": "heater hose",
        "name": "van 7",
        "fluids": ["engine coolant"],
        "nipples": {"outside_diameter": "16 mm"},
        "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "110 mm"}, "1 m"]},
    }
    assert read_job(pasted) == read_job(typed)
