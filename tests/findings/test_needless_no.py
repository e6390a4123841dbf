"""Good hoses on jobs where an expert says yes: each is offered, and none of them is a stub.

The jobs, in words and units as people use them, and why the answer is yes stand in the table
beside this file; the jobs are fully described, so that nothing but the hose is in question.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from hoseselect.application.pick import check_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job

with (Path(__file__).parent / "needless_no.csv").open(encoding="utf-8") as stream:
    ROWS = list(csv.DictReader(stream))
ENOUGH = 40


@cache
def built_in() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def both(cell: str) -> tuple[str, str]:
    """Return steady and peak of a cell such as '90/105 degC'."""
    figures, unit = cell.split(" ", 1)
    steady, peak = figures.split("/")
    return f"{steady} {unit}", f"{peak} {unit}"


def described(row: dict[str, str]) -> Job:
    """Return the job of a row, with everything else said and mild."""
    fluid, air = both(row["fluid"]), both(row["air"])
    bead = {"bead": "no"} if row["bead"] == "no" else {"bead_diameter": row["bead"]}
    values: dict[str, Any] = {
        "service": row["line"],
        "fluids": [row["fluids"]] if row["fluids"] else [],
        "drips": [],
        "duty": {
            "fluid_steady": fluid[0], "fluid_peak": fluid[1],
            "air_steady": air[0], "air_peak": air[1], "coldest_start": row["coldest"],
            "pressure_min": row["suction"], "pressure_max": row["pressure"],
            "pressure_spike": row["spike"],
        },
        "nipples": {
            "outside_diameter": row["nipple"], "measured_on": "plain", "fixed_to": "engine",
            "usable_length": row["usable"], "material": "metal", **bead,
        },
        "route": {"run": row["route"], "movement": "0 mm", "low_spot": "no", "fall": "yes",
                  "supports": "250 mm", "heat_source": {"distance": "300 mm"}},
        "features": {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no",
                     "end_fitting": "plain"},
    }  # fmt: skip
    for pair in filter(None, row["more"].split(";")):
        key, _, value = pair.partition("=")
        *tables, name = key.split(".")
        place = values
        for part in tables:
            place = place.setdefault(part, {})
        place[name] = [value] if key == "drips" else value
    return read_job(values)


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['line']} {row['hose']}" for row in ROWS])
def test_a_good_hose_is_offered(row: dict[str, str]) -> None:
    answer = check_hose(row["hose"], described(row), built_in())
    assert answer.stops == ()
    (hose,) = answer.hoses
    worst = [(found.code, found.reason) for found in hose.worst()]
    assert hose.verdict.suits, worst
    assert hose.cut is not None


@pytest.mark.parametrize("row", ROWS[::8], ids=[row["line"] for row in ROWS[::8]])
def test_the_same_hose_is_refused_where_the_job_is_another(row: dict[str, str]) -> None:
    """Each offer rests on the job: the same hose at a start at -70 degC is none."""
    frost = described(row | {"coldest": "-70 degC"})
    assert check_hose(row["hose"], frost, built_in()).hoses[0].verdict is Verdict.REJECT


def test_there_are_enough_and_of_many_services() -> None:
    assert len(ROWS) >= ENOUGH
    assert len({described(row).service for row in ROWS}) > 35
    assert all(row["why"] and row["source"] for row in ROWS)
