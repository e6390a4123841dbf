"""A stop is told before any question: nothing that is asked could lift it."""

from __future__ import annotations

import io
from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.files.text_sheet import TextSheet
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.intake.read_job import read_job
from hoseselect.intake.sheet_reader import LineFault, SheetReader
from hoseselect.knowledge.errors import ManyFaultsError
from hoseselect.rules.stop import stops

STOPPED: list[tuple[dict[str, Any], str]] = [
    ({"service": "brake hose"}, "brake-hydraulics"),
    ({"service": "heater hose", "features": {"end_fitting": "crimped"}}, ""),
    ({"service": "fuel return", "features": {"place": "boat"}}, ""),
    ({"service": "heater hose", "fluids": ["refrigerant"]}, ""),
    ({"service": "heater hose", "drips": ["refrigerant"]}, ""),
    ({"service": "fuel-vapour-purge", "name": "LPG vapour hose"}, ""),
]
CONTRADICTIONS: list[dict[str, Any]] = [
    {"features": {"turbo": "no", "sees_boost": "yes"}},
    {"route": {"run": ["60 mm", {"bend": 60, "radius": "40 mm"}, "60 mm"],
               "tightest_radius": "90 mm"}},
    {"duty": {"pressure_min": "20 kPa", "pressure_max": "0 kPa"}},
    {"duty": {"fluid_steady": "130 degC", "fluid_peak": "100 degC"}},
    {"old_hose": {"bore": "20 mm", "outside_diameter": "15 mm"}},
    {"old_hose": {"condition": "sucked flat"}, "duty": {"pressure_min": "0 kPa"}},
    {"route": {"measured": "1 mm"}},
    {"duty": {"pressure_max": -0.65}},
]  # fmt: skip


def together(one: dict[str, Any], other: dict[str, Any]) -> dict[str, Any]:
    both = {**one, **other}
    for key in one.keys() & other.keys():
        both[key] = {**one[key], **other[key]}
    return both


@pytest.mark.parametrize("contradiction", CONTRADICTIONS)
@pytest.mark.parametrize(("told", "stop"), STOPPED)
def test_a_stop_goes_before_a_contradiction(
    told: dict[str, Any], stop: str, contradiction: dict[str, Any]
) -> None:
    job = read_job(together(told, contradiction))
    found = [own.code for own in stops(job)]
    assert found
    assert stop in ("", *found)
    answer = pick_hose(job, read_catalogue(find_catalogue(None, {})))
    assert answer.stops
    assert answer.hoses == ()


@pytest.mark.parametrize("contradiction", CONTRADICTIONS[:4])
def test_the_same_contradiction_is_asked_about_where_nothing_stops(
    contradiction: dict[str, Any],
) -> None:
    with pytest.raises(ManyFaultsError):
        read_job({"service": "PCV hose", **contradiction})


def test_what_cannot_be_read_is_still_told_of_a_stopped_job() -> None:
    """A misspelled key or figure is no contradiction: it may be what tells of another stop."""
    for wrong in ({"nipples": {"outside_diameter": "thick"}}, {"nipple": 8}):
        with pytest.raises(ManyFaultsError):
            read_job({"service": "brake hose", **wrong})


def lines(*rows: str) -> list[Job | tuple[LineFault, ...] | None]:
    text = "\n".join(rows).encode()
    source = TextSheet("jobs.csv", lambda: io.BytesIO(text))
    sheet = job_sheet(source.lines(), "jobs.csv")
    reader = SheetReader(sheet.uses)
    return [reader.read(line) for line in sheet.lines]


def test_in_a_sheet_as_well() -> None:
    told = lines(
        "service,features.turbo,features.sees_boost,duty.fluid_steady,duty.fluid_peak,nipple",
        "brake hose,no,yes,,,8 mm",
        "brake hose,,,130 degC,100 degC,8 mm",
        "PCV hose,no,yes,,,8 mm",
        "PCV hose,,,130 degC,100 degC,8 mm",
        "brake hose,,,130 degC,100 degC,thick",
    )
    kinds = [isinstance(one, Job) and bool(stops(one)) for one in told]
    assert kinds == [True, True, False, False, False]
    assert all(isinstance(one, tuple) for one in told[2:])
