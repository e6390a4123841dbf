"""Wrong answers that were found by trying, about stops: each with the answer that is right."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.application.run_batch import Batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import JobInput
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.stop import stops

MEASURED = {
    "nipples": {"outside_diameter": 8, "bead_diameter": 9, "measured_on": "plain"},
    "route": {"measured": 300, "tightest_radius": 200, "movement": 0},
}
INJECTION_NAMES = ["fuel rail hose", "injection hose", "efi hose", "injection feed"]


@cache
def built_in() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def codes(service: str, **values: Any) -> list[str]:
    return [stop.code for stop in stops(read_job({"service": service, **values}))]


def stopped(values: dict[str, Any], code: str) -> None:
    """Assert that a job meets a stop, gets no hose and no cut."""
    job = read_job(values)
    answer = pick_hose(job, built_in())
    assert code in [stop.code for stop in answer.stops]
    assert (answer.hoses, answer.exit_code) == ((), 1)
    with pytest.raises(InputError):
        plan_cut(job)


@pytest.mark.parametrize("pressure", ["unknown", 400, "5000 kPa"])
@pytest.mark.parametrize("fluid", ["diesel", "diesel b7", "b20", "b100"])
@pytest.mark.parametrize("name", INJECTION_NAMES)
def test_diesel_on_an_injection_feed_is_a_stop(name: str, fluid: str, pressure: Any) -> None:
    duty = {"pressure_max": pressure}
    stopped(
        {"service": name, "fluids": [fluid], "duty": duty, **MEASURED}, "high-pressure-injection"
    )
    stopped(
        {"service": name, "fluids": ["petrol", fluid], "duty": duty, **MEASURED},
        "high-pressure-injection",
    )


def test_every_diesel_fuel_is_one_for_the_injection_feed() -> None:
    told = {row["fluid"] for row in table("service_stop_fluids")}
    assert {fluid for fluid in table("fluids").column("fluid") if "diesel" in fluid} <= told


@pytest.mark.parametrize("fluids", [[], ["petrol"], ["e85"], ["unknown"]])
@pytest.mark.parametrize("name", INJECTION_NAMES)
def test_petrol_injection_is_a_stop_until_the_pressure_is_told(
    name: str, fluids: list[str]
) -> None:
    values = {"service": name, "fluids": fluids, **MEASURED}
    stopped(values, "injection-pressure-unknown")
    highest = limit("fuel-hose-pressure-max")
    assert codes(name, fluids=fluids, duty={"pressure_max": highest}) == []
    assert codes(name, fluids=fluids, duty={"pressure_spike": highest}) == []
    too_much = codes(name, fluids=fluids, duty={"pressure_max": highest + 1})
    assert too_much == ["high-pressure-injection"]


def test_the_stop_says_which_pressure_to_tell() -> None:
    (stop,) = stops(read_job({"service": "injection hose"}))
    assert "Tell the highest pressure" in stop.reason
    assert "port injection" in stop.reason


def test_no_cut_of_a_diesel_rail_hose() -> None:
    values = {"service": "fuel rail hose", "fluids": "diesel", "nipples": {"outside_diameter": 8}}
    with pytest.raises(InputError):
        plan_cut(read_job({**values, "route": {"measured": 400}}))


@pytest.mark.parametrize(
    ("told", "option", "code"),
    [
        ('end_fitting = "crimped"', "features.end_fitting=plain", "crimped-ends"),
        ('end_fitting = "crimped"', "features.end_fitting=unknown", "crimped-ends"),
        ('end_fitting = "Quick Connect"', "features.end_fitting=plain", "quick-connect-tube"),
        ('place = "boat"', "features.place=road-vehicle", "boat"),
    ],
)
def test_no_option_lifts_what_a_job_file_has_told(
    tmp_path: Path, told: str, option: str, code: str
) -> None:
    file = tmp_path / "job.toml"
    file.write_text(f'service = "heater hose"\n[features]\n{told}\n', encoding="utf-8")
    assert [stop.code for stop in stops(JobInput(file, {"set": [option]}).job())] == [code]


def test_an_option_still_changes_ends_that_stop_nothing(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text('service = "heater hose"\n[features]\nend_fitting = "threaded"\n')
    job = JobInput(file, {"set": ["features.end_fitting=plain"]}).job()
    assert job.features.end_fitting == "plain"


@pytest.mark.parametrize(
    "name", ["LPG vapour hose", "CNG line", "vapour hose from vaporiser to mixer", "autogas pipe"]
)
def test_gas_fuel_in_the_name_of_a_line(name: str) -> None:
    assert codes(name) == ["gas-fuel"]


GAS_WORDS = ["LPG", "cng", "Autogas", "propane", "natural gas", "Natural-Gas", "hydrogen"]


@pytest.mark.parametrize("word", GAS_WORDS)
def test_gas_fuel_in_a_fluid_a_drip_or_the_name_of_a_job(word: str) -> None:
    assert codes("purge hose", fluids=[word]) == ["gas-fuel"]
    assert codes("purge hose", drips=[word]) == ["gas-fuel"]
    assert codes("purge hose", name=f"van, {word} conversion") == ["gas-fuel"]
    assert codes("vaporiser coolant hose", name=f"van, {word} conversion") == []
    assert codes("purge hose", name="van, not converted") == []


@pytest.mark.parametrize(
    "fluid",
    ["dot 3", "DOT 5", "dot5", "silicone brake fluid", "mineral brake fluid", "DOT 5 silicone"],
)
def test_every_brake_fluid_is_a_stop(fluid: str) -> None:
    assert codes("heater hose", fluids=[fluid]) == ["brake-fluid-reservoir"]


@pytest.mark.parametrize("fluid", ["power steering", "steering", "PAS"])
def test_who_names_the_steering_as_fluid_means_its_fluid(fluid: str) -> None:
    job = read_job({"service": "steering return", "fluids": [fluid]})
    assert job.fluids == ("power-steering-fluid",)
    assert stops(job) == ()


@pytest.mark.parametrize(
    ("drip", "code"),
    [
        ("refrigerant", "refrigerant"),
        ("r134a", "refrigerant"),
        ("ac", "refrigerant"),
        ("lpg", "gas-fuel"),
        ("power steering pressure", "steering-pressure"),
    ],
)
def test_a_drip_that_is_a_stopped_fluid_is_answered(drip: str, code: str) -> None:
    stopped({"service": "heater hose", "drips": [drip], **MEASURED}, code)


@pytest.mark.parametrize("drip", ["power steering", "brake fluid", "engine oil"])
def test_a_drip_that_hoses_are_rated_for_is_judged(drip: str) -> None:
    answer = pick_hose(read_job({"service": "heater hose", "drips": [drip]}), built_in())
    assert answer.stops == ()
    assert answer.hoses


SHEET = ("service", "nipples.outside_diameter", "drips", "duty.pressure_max", "fluids", "name")


def test_one_line_with_such_a_stop_leaves_the_others_answered() -> None:
    lines = {
        ("heater hose", "16", "none", "130", "", ""): "",
        ("heater hose", "16", "refrigerant", "130", "", ""): "refrigerant",
        ("heater hose", "16", "power steering", "130", "", ""): "",
        ("heater hose", "16", "none", "130", "", "van on LPG"): "gas-fuel",
        ("vaporiser coolant hose", "16", "none", "130", "", "van on LPG"): "",
        ("fuel rail hose", "8", "none", "", "petrol", ""): "injection-pressure-unknown",
        ("fuel rail hose", "8", "none", "400", "petrol", ""): "",
        ("fuel rail hose", "8", "none", "400", "b20", ""): "high-pressure-injection",
        ("purge hose", "8", "none", "", "autogas", ""): "gas-fuel",
        ("fuel hose", "8", "none", "", "", ""): "error",
    }
    batch = Batch(column_uses(list(SHEET), [""] * len(SHEET), 1), built_in(), "mm")
    sheet = [SheetLine(number, list(cells)) for number, cells in enumerate(lines, 2)]
    for (cells, stop), answer in zip(lines.items(), batch.answers(sheet), strict=True):
        assert (answer.verdict == "STOP") == (stop not in {"", "error"}), cells
        assert (answer.verdict == "ERROR") == (stop == "error"), (cells, answer.error)
        assert answer.decided_by == stop or answer.verdict != "STOP"
